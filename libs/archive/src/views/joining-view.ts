import { z } from 'zod';
import type { JoiningRow } from '../rows.js';
import { dateTime, idSchema, versionSchema } from '../shapes.js';
import { apartSchema, jointSchema, laidSchema, missingSchema } from '../shards/shard-shapes.js';

export const joiningAnswer = z.object({
  joiningId: idSchema,
  siteId: idSchema,
  panelId: idSchema,
  piece: z.string(),
  assemblyId: idSchema,
  laid: z.array(laidSchema),
  apart: z.array(apartSchema),
  gapMm: z.number(),
  joints: z.array(jointSchema).describe('where edges lie along one another: the lines to bond'),
  jointMm: z.number().describe('length of all joints'),
  missing: z.array(missingSchema).describe('parts of the outline without glass'),
  missingMm2: z.number(),
  coverageRatio: z.number().nullable(),
  note: z.string().nullable(),
  keptBy: idSchema,
  happened: z.string().nullable(),
  state: z.enum(['recorded', 'superseded', 'withdrawn']),
  entrySeq: z.int(),
  recordedAt: dateTime,
  version: versionSchema,
});

export type JoiningAnswer = z.infer<typeof joiningAnswer>;

export function joiningView({ withdrawnSeq: _, ...row }: JoiningRow): JoiningAnswer {
  return {
    ...row,
    laid: row.laid as JoiningAnswer['laid'],
    apart: row.apart as JoiningAnswer['apart'],
    joints: row.joints as JoiningAnswer['joints'],
    missing: row.missing as JoiningAnswer['missing'],
    entrySeq: Number(row.entrySeq),
    recordedAt: row.recordedAt.toISOString(),
    version: Number(row.version),
  };
}
