import { z } from 'zod';
import type { InterventionRow } from '../rows.js';
import { dateTime, idSchema, versionSchema } from '../shapes.js';

export const detailSchema = z.record(
  z.string().min(1).max(60),
  z.union([z.string().max(1000), z.number()]),
);

export const interventionAnswer = z.object({
  interventionId: idSchema,
  siteId: idSchema,
  subjects: z.array(z.string()),
  operation: z.string(),
  material: z.string().nullable(),
  detail: detailSchema.nullable(),
  byRole: z.string().nullable(),
  byText: z.string().nullable(),
  happened: z.string().nullable(),
  images: z.array(idSchema),
  note: z.string().nullable(),
  evidence: z.string().nullable(),
  state: z.enum(['recorded', 'withdrawn']),
  entrySeq: z.int(),
  recordedAt: dateTime,
  version: versionSchema,
});

export function interventionView(row: InterventionRow): z.infer<typeof interventionAnswer> {
  return {
    ...row,
    detail: row.detail as z.infer<typeof detailSchema> | null,
    state: row.state as 'recorded' | 'withdrawn',
    entrySeq: Number(row.entrySeq),
    recordedAt: row.recordedAt.toISOString(),
    version: Number(row.version),
  };
}
