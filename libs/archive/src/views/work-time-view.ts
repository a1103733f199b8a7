import { z } from 'zod';
import type { WorkTimeRow } from '../rows.js';
import { dateTime, idSchema, versionSchema } from '../shapes.js';

export const workTimeAnswer = z.object({
  siteId: idSchema,
  workTimeId: idSchema,
  campaignId: idSchema,
  interventionId: idSchema.nullable(),
  personId: idSchema,
  task: z.string(),
  minutes: z.int(),
  happened: z.string(),
  note: z.string().nullable(),
  entrySeq: z.int(),
  recordedAt: dateTime,
  version: versionSchema,
});

export function workTimeView(row: WorkTimeRow): z.infer<typeof workTimeAnswer> {
  return {
    ...row,
    entrySeq: Number(row.entrySeq),
    recordedAt: row.recordedAt.toISOString(),
    version: Number(row.version),
  };
}
