import { z } from 'zod';
import type { TreatmentSignatureRow } from '../rows.js';
import { dateTime, idSchema, versionSchema } from '../shapes.js';

export const signatureAnswer = z.object({
  siteId: idSchema,
  signatureId: idSchema,
  panelId: idSchema,
  recordVersion: z.string(),
  digest: z.string().describe('SHA-256 of the record as JSON'),
  sizeBytes: z.int(),
  signedBy: idSchema,
  qualification: z.string().nullable(),
  happened: z.string(),
  note: z.string().nullable(),
  entrySeq: z.int(),
  recordedAt: dateTime,
  version: versionSchema,
});

export function signatureView(row: TreatmentSignatureRow): z.infer<typeof signatureAnswer> {
  return {
    ...row,
    sizeBytes: Number(row.sizeBytes),
    entrySeq: Number(row.entrySeq),
    recordedAt: row.recordedAt.toISOString(),
    version: Number(row.version),
  };
}
