import { z } from 'zod';
import type { DeflectionRow } from '../rows.js';
import { dateTime, faceSchema, idSchema, versionSchema } from '../shapes.js';
import { without } from '../without.js';

const figure = z.object({ value: z.number(), sigma: z.number().describe('standard deviation') });
const xyMm = z.tuple([z.number(), z.number()]);

export const DATUMS = ['string-line', 'straight-edge', 'laser', 'total-station'] as const;

export const deflectionAnswer = z.object({
  deflectionId: idSchema,
  siteId: idSchema,
  panelId: idSchema,
  datum: z.enum(DATUMS),
  face: faceSchema,
  noiseMm: z.number(),
  readings: z.array(z.tuple([z.number(), z.number(), z.number()])),
  figures: z.object({
    maximumMm: figure.describe('farthest out of the plane of the edges; positive: inwards'),
    atMm: xyMm,
    oppositeMm: z.number(),
    slopeDeg: figure,
    slopeAtMm: xyMm,
    radiusMm: figure.nullable().describe('tightest curve; null: not told apart from flat'),
    lines: z.array(
      z.object({
        direction: z.enum(['across', 'up']),
        fromMm: xyMm,
        toMm: xyMm,
        chordMm: z.number(),
        sagittaMm: figure,
        sagittaRatio: z.number(),
        extraMm: figure,
      }),
    ),
    noiseMm: z.number().describe('that the readings show, where it is more than was stated'),
    statedNoiseMm: z.number(),
    readings: z.int(),
  }),
  note: z.string().nullable(),
  observerId: idSchema,
  happened: z.string(),
  state: z.enum(['recorded', 'withdrawn']),
  entrySeq: z.int(),
  recordedAt: dateTime,
  version: versionSchema,
});

export function deflectionView(row: DeflectionRow): z.infer<typeof deflectionAnswer> {
  const shown = without(row, 'withdrawnSeq');
  return {
    ...shown,
    readings: row.readings as z.infer<typeof deflectionAnswer>['readings'],
    figures: row.figures as z.infer<typeof deflectionAnswer>['figures'],
    datum: row.datum as (typeof DATUMS)[number],
    face: row.face as z.infer<typeof faceSchema>,
    entrySeq: Number(row.entrySeq),
    recordedAt: row.recordedAt.toISOString(),
    version: Number(row.version),
  };
}
