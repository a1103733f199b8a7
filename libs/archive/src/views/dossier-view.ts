import { z } from 'zod';
import type { DossierRow } from '../rows.js';
import { dateTime, idSchema } from '../shapes.js';

export const DOSSIER_KINDS = ['handed-out', 'keepers'] as const;

export const dossierAnswer = z.object({
  dossierId: idSchema,
  siteId: idSchema,
  subject: z.string(),
  kind: z.enum(DOSSIER_KINDS),
  state: z.enum(['waiting', 'ready']),
  jobId: idSchema,
  digest: z.string().nullable(),
  sizeBytes: z.int().nullable(),
  askedBy: idSchema,
  askedAt: dateTime,
  madeAt: dateTime.nullable(),
});

export function dossierView(row: DossierRow): z.infer<typeof dossierAnswer> {
  return {
    dossierId: row.dossierId,
    siteId: row.siteId,
    subject: row.subject,
    kind: row.kind as (typeof DOSSIER_KINDS)[number],
    state: row.madeAt === null ? 'waiting' : 'ready',
    jobId: row.jobId!,
    digest: row.digest,
    sizeBytes: row.sizeBytes === null ? null : Number(row.sizeBytes),
    askedBy: row.askedBy,
    askedAt: row.askedAt.toISOString(),
    madeAt: row.madeAt?.toISOString() ?? null,
  };
}
