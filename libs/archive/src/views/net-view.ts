import { z } from 'zod';
import type { NetRevisionRow } from '../rows.js';
import { dateTime, idSchema } from '../shapes.js';

export const netRevisionAnswer = z.object({
  siteId: idSchema,
  panelId: idSchema,
  revision: z.int().min(1),
  rubbingId: idSchema.nullable(),
  mediaId: idSchema.nullable(),
  digest: z.string().describe('of the net as stored'),
  face: z.string(),
  layer: z.string(),
  summary: z.object({
    pieces: z.int(),
    leads: z.int(),
    joints: z.int(),
    lengthMm: z.number(),
    areaMm2: z.number(),
    rmsMm: z.number().nullable(),
    worstMark: z.string().nullable(),
    doubtful: z.int(),
  }),
  signedAt: dateTime.nullable(),
  signedBy: idSchema.nullable(),
  recordedAt: dateTime,
});

export function netRevisionView(row: NetRevisionRow): z.infer<typeof netRevisionAnswer> {
  return {
    siteId: row.siteId,
    panelId: row.panelId,
    revision: row.revision,
    rubbingId: row.rubbingId,
    mediaId: row.mediaId,
    digest: row.objectDigest,
    face: row.face,
    layer: row.layer,
    summary: row.summary as z.infer<typeof netRevisionAnswer>['summary'],
    signedAt: row.signedAt?.toISOString() ?? null,
    signedBy: row.signedBy,
    recordedAt: row.recordedAt.toISOString(),
  };
}
