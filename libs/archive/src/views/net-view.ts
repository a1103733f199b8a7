import { z } from 'zod';
import type { NetReading, NetRevisionRow } from '../rows.js';
import { dateTime, idSchema } from '../shapes.js';

export const netRevisionAnswer = z.object({
  siteId: idSchema,
  panelId: idSchema,
  revision: z.int().min(1),
  rubbingId: idSchema.nullable(),
  mediaId: idSchema.nullable().describe('the first of mediaIds'),
  mediaIds: z.array(idSchema).describe('pictures that it was read from, in order'),
  digest: z.string().describe('of the net as stored'),
  face: z.string(),
  layer: z.string(),
  surface: z.string().describe('developed or plan'),
  madeBy: z.string().describe('rubbing/…: read by the machine; hand/…: edited; import/…: a file'),
  note: z.string().nullable().describe('what the person said of it'),
  change: z
    .string()
    .nullable()
    .describe('what differs from the revision before of the same layer, in one sentence'),
  reading: z
    .object({
      revision: z.int().min(1).describe('the one that the machine read'),
      rectified: z
        .object({
          widthPx: z.int(),
          heightPx: z.int(),
          imageFromPanel: z.array(z.number()).describe('panel mm → px, 3 × 3 row by row'),
        })
        .nullable(),
    })
    .nullable()
    .describe('the reading of a sheet that it goes back to: its flattened picture and its stages'),
  summary: z.object({
    pieces: z.int(),
    leads: z.int(),
    joints: z.int(),
    lengthMm: z.number(),
    areaMm2: z.number(),
    rmsMm: z.number().nullable(),
    worstMark: z.string().nullable(),
    doubtful: z.int().describe('places in doubt'),
    doubtfulLeads: z.int(),
  }),
  recordedBy: idSchema.describe('who drew it, took it from a file, or had the sheet read'),
  signedAt: dateTime.nullable(),
  signedBy: idSchema.nullable(),
  signedDoubts: z
    .int()
    .nullable()
    .describe('doubtful leads and places that stood open when it was signed'),
  recordedAt: dateTime,
});

export function netRevisionView(row: NetRevisionRow): z.infer<typeof netRevisionAnswer> {
  return {
    siteId: row.siteId,
    panelId: row.panelId,
    revision: row.revision,
    rubbingId: row.rubbingId,
    mediaId: row.mediaId,
    mediaIds: row.mediaIds,
    digest: row.objectDigest,
    face: row.face,
    layer: row.layer,
    surface: row.surface,
    madeBy: row.madeBy,
    note: row.note,
    change: row.change,
    reading: readingView(row.reading as NetReading | null),
    summary: row.summary as z.infer<typeof netRevisionAnswer>['summary'],
    recordedBy: row.recordedBy,
    signedAt: row.signedAt?.toISOString() ?? null,
    signedBy: row.signedBy,
    signedDoubts: row.signedDoubts,
    recordedAt: row.recordedAt.toISOString(),
  };
}

function readingView(reading: NetReading | null): z.infer<typeof netRevisionAnswer>['reading'] {
  if (reading === null) return null;
  const { revision, rectified } = reading;
  if (rectified === null) return { revision, rectified: null };
  const { widthPx, heightPx, imageFromPanel } = rectified;
  return { revision, rectified: { widthPx, heightPx, imageFromPanel } };
}
