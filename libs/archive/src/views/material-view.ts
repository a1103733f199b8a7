import { z } from 'zod';
import type { MaterialRow } from '../rows.js';
import { dateTime, idSchema, versionSchema } from '../shapes.js';

export const materialAnswer = z.object({
  materialId: idSchema,
  name: z.string(),
  maker: z.string().nullable(),
  batch: z.string().nullable(),
  expires: z.string().nullable().describe('EDTF'),
  unit: z.string(),
  left: z.string().describe('decimal text: by the books; below 0 where more was used than came in'),
  kept: z.string().nullable(),
  note: z.string().nullable(),
  state: z.enum(['in-use', 'retired']),
  recordedAt: dateTime,
  version: versionSchema,
});

/** @param left what is left, decimal text */
export function materialView(row: MaterialRow, left: string): z.infer<typeof materialAnswer> {
  return {
    materialId: row.materialId,
    name: row.name,
    maker: row.maker,
    batch: row.batch,
    expires: row.expires,
    unit: row.unit,
    left,
    kept: row.kept,
    note: row.note,
    state: row.state,
    recordedAt: row.recordedAt.toISOString(),
    version: Number(row.version),
  };
}
