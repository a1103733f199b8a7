import { z } from 'zod';
import { uuidOfName } from '../id.js';
import type { MediaRow, WithdrawnObjectRow } from '../rows.js';
import { dateTime, faceSchema, idSchema, layerSchema, versionSchema } from '../shapes.js';
import { findRow } from '../tables.js';
import type { Tx } from '../tx.js';

export const MEDIA_KINDS = ['photograph', 'rubbing', 'drawing', 'document'] as const;
export const STAGES = ['before', 'during', 'after', 'undated'] as const;

/** How the picture was lit; raking light also says from where. */
export const lightSchema = z.union([
  z.strictObject({
    kind: z.literal('raking'),
    clockHour: z
      .number()
      .min(0)
      .max(12)
      .describe('where the lamp stood round the picture: 12 above, 3 from the right'),
    elevationDeg: z.number().min(0).max(90).describe('above the plane of the glass').optional(),
  }),
  z.strictObject({ kind: z.enum(['transmitted', 'reflected', 'uv', 'ir', 'mixed']) }),
]);

export const mediaAnswer = z.object({
  mediaId: idSchema,
  siteId: idSchema,
  digest: z.string().describe('sha256:… of the original bytes'),
  fileName: z.string(),
  contentType: z.string(),
  sizeBytes: z.int(),
  widthPx: z.int().nullable().describe('upright'),
  heightPx: z.int().nullable(),
  kind: z.enum(MEDIA_KINDS),
  light: lightSchema.nullable(),
  stage: z.enum(STAGES),
  face: faceSchema.nullable(),
  layer: layerSchema.nullable(),
  subjects: z.array(z.string()),
  author: z.string().nullable(),
  happened: z.string().nullable(),
  note: z.string().nullable(),
  exif: z
    .object({
      open: z.record(z.string(), z.union([z.string(), z.number()])),
      keptInOriginal: z.array(z.string()),
    })
    .nullable()
    .describe('camera data; place, serial numbers and names stay in the original'),
  asReceived: z.boolean().describe('a browser may have encoded it anew'),
  pyramid: z.enum(['ready', 'waiting', 'none', 'failed', 'withdrawn']),
  withdrawn: z
    .object({
      at: dateTime,
      entrySeq: z.int(),
      reason: z.string(),
      destroyedAt: dateTime.nullable().describe('null: the bytes are being destroyed'),
    })
    .nullable()
    .describe('the bytes were destroyed on request; what was recorded of them stays'),
  recordedAt: dateTime,
  entrySeq: z.int(),
  version: versionSchema,
});

export type MediaAnswer = z.infer<typeof mediaAnswer>;

/** One job a media, so that its end can be found from the media alone. */
export function deriveJobId(mediaId: string): string {
  return uuidOfName('media.derive', mediaId);
}

/** @param tx where derivatives and jobs are read */
export async function mediaViews(tx: Tx, rows: readonly MediaRow[]): Promise<MediaAnswer[]> {
  const [pyramidOf, withdrawn] = await Promise.all([
    pyramids(tx, rows),
    tx.query<WithdrawnObjectRow>(
      'SELECT * FROM withdrawn_object WHERE digest = ANY($1)',
      [rows.map((row) => row.digest)],
      ['withdrawn_object'],
    ),
  ]);
  const tombstones = new Map(withdrawn.map((row) => [row.digest, row]));
  return rows.map((row) => view(row, pyramidOf(row), tombstones.get(row.digest)));
}

export async function mediaView(tx: Tx, row: MediaRow): Promise<MediaAnswer> {
  const [pyramidOf, tombstone] = await Promise.all([
    pyramids(tx, [row]),
    findRow(tx, 'withdrawn_object', { digest: row.digest }),
  ]);
  return view(row, pyramidOf(row), tombstone);
}

type PyramidState = 'ready' | 'waiting' | 'none' | 'failed';

/** How far the tiles are. A document has none: nothing is asked for it. */
async function pyramids(
  tx: Tx,
  rows: readonly MediaRow[],
): Promise<(row: MediaRow) => PyramidState> {
  const pictures = rows.filter(({ widthPx }) => widthPx !== null);
  if (pictures.length === 0) return () => 'none';
  const [ready, failed] = await Promise.all([
    tx.query<{ sourceDigest: string }>(
      `SELECT source_digest FROM derivative WHERE kind = 'pyramid' AND source_digest = ANY($1)`,
      [pictures.map((row) => row.digest)],
      ['derivative'],
    ),
    tx.query<{ jobId: string }>(
      `SELECT job_id FROM job_progress WHERE state = 'failed' AND job_id = ANY($1)`,
      [pictures.map((row) => deriveJobId(row.mediaId))],
      ['job_progress'],
    ),
  ]);
  const readyDigests = new Set(ready.map((row) => row.sourceDigest));
  const failedJobs = new Set(failed.map((row) => row.jobId));
  return ({ widthPx, digest, mediaId }) => {
    if (widthPx === null) return 'none';
    if (readyDigests.has(digest)) return 'ready';
    return failedJobs.has(deriveJobId(mediaId)) ? 'failed' : 'waiting';
  };
}

function view(
  row: MediaRow,
  pyramid: PyramidState,
  tombstone: WithdrawnObjectRow | undefined,
): MediaAnswer {
  return {
    mediaId: row.mediaId,
    siteId: row.siteId,
    digest: row.digest,
    fileName: row.fileName,
    contentType: row.contentType,
    sizeBytes: Number(row.sizeBytes),
    widthPx: row.widthPx,
    heightPx: row.heightPx,
    kind: row.kind as MediaAnswer['kind'],
    light: row.light as MediaAnswer['light'],
    stage: row.stage as MediaAnswer['stage'],
    face: row.face as MediaAnswer['face'],
    layer: row.layer as MediaAnswer['layer'],
    subjects: row.subjects,
    author: row.author,
    happened: row.happened,
    note: row.note,
    exif: row.exif as MediaAnswer['exif'],
    asReceived: row.asReceived,
    pyramid: tombstone === undefined ? pyramid : 'withdrawn',
    withdrawn:
      tombstone === undefined
        ? null
        : {
            at: tombstone.at.toISOString(),
            entrySeq: Number(tombstone.seq),
            reason: tombstone.reason,
            destroyedAt: tombstone.destroyedAt?.toISOString() ?? null,
          },
    recordedAt: row.recordedAt.toISOString(),
    entrySeq: Number(row.entrySeq),
    version: Number(row.version),
  };
}
