import { z } from 'zod';
import type { InterventionRow } from '../rows.js';
import { dateTime, idSchema, versionSchema } from '../shapes.js';
import { usedMaterialSchema } from '../works/used-material.js';

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
  campaignId: idSchema.nullable(),
  consentId: idSchema.nullable().describe('the consent that it was held against'),
  materials: z.array(usedMaterialSchema).nullable(),
  reason: z.string().nullable().describe('why, where an operation asks for a stated reason'),
  workerId: idSchema.nullable().describe('somebody with an account who did it'),
  entrySeq: z.int(),
  recordedAt: dateTime,
  version: versionSchema,
});

export function interventionView(row: InterventionRow): z.infer<typeof interventionAnswer> {
  return {
    ...row,
    detail: row.detail as z.infer<typeof detailSchema> | null,
    materials: row.materials as z.infer<typeof usedMaterialSchema>[] | null,
    state: row.state as 'recorded' | 'withdrawn',
    entrySeq: Number(row.entrySeq),
    recordedAt: row.recordedAt.toISOString(),
    version: Number(row.version),
  };
}
