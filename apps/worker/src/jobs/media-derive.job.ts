import { randomUUID } from 'node:crypto';
import { createReadStream } from 'node:fs';
import { rm } from 'node:fs/promises';
import { join } from 'node:path';
import { z } from 'zod';
import { refuseWithdrawn, type Tx } from '#libs/archive';
import { PREVIEW_PROVENANCE, PYRAMID_PROVENANCE } from '#libs/imaging';
import { withLocalFile } from '#libs/objects';
import { Problem } from '#libs/problem';
import type { JobRun, WorkerJob, WorkerPorts } from '../worker-job.js';
import { isMadeOfAnother } from './media-destroy.job.js';

const payloadSchema = z.object({
  mediaId: z.uuid(),
  digest: z.string().regex(/^sha256:[0-9a-f]{64}$/),
});

type Kind = 'pyramid' | 'preview';

interface Derivation {
  kind: Kind;
  provenance: Readonly<Record<string, unknown>>;
  make: (
    ports: WorkerPorts,
    path: string,
    outPath: string,
  ) => Promise<{ widthPx: number; heightPx: number }>;
}

const DERIVATIONS: readonly Derivation[] = [
  {
    kind: 'pyramid',
    provenance: PYRAMID_PROVENANCE,
    make: ({ imaging }, path, outPath) => imaging.pyramid(path, outPath),
  },
  {
    kind: 'preview',
    provenance: PREVIEW_PROVENANCE,
    make: ({ imaging }, path, outPath) => imaging.previewJpeg(path, outPath),
  },
];

/** Makes the pyramid and the preview of one picture, each once for the same bytes. */
export const mediaDerive: WorkerJob = {
  queue: 'media.derive',
  async run(data, ports, run) {
    const payload = payloadSchema.safeParse(data);
    if (!payload.success) throw new Problem('request-invalid', payload.error.message);
    const { digest } = payload.data;
    await refuseWithdrawn(ports.archive.reads, digest);
    const made: Kind[] = [];
    for (const [i, derivation] of DERIVATIONS.entries()) {
      run.progress(derivation.kind, i / DERIVATIONS.length);
      if (await isMade(ports.archive.reads, digest, derivation)) continue;
      await derive(digest, derivation, ports, run);
      made.push(derivation.kind);
    }
    return { made };
  },
};

async function derive(
  digest: string,
  { kind, provenance, make }: Derivation,
  ports: WorkerPorts,
  run: JobRun,
): Promise<void> {
  const { objects, scratchFolder, archive } = ports;
  const outPath = join(scratchFolder, randomUUID());
  try {
    const size = await withLocalFile(objects, digest, scratchFolder, (path) =>
      make(ports, path, outPath),
    );
    run.signal.throwIfAborted();
    const stored = await objects.put(createReadStream(outPath));
    const added = await archive.reads.run(
      `INSERT INTO derivative (source_digest, kind, digest, size_bytes, width_px, height_px, provenance, made_at)
       SELECT $1, $2, $3, $4::bigint, $5::int, $6::int, $7::jsonb, now()
       WHERE NOT EXISTS (SELECT 1 FROM withdrawn_object WHERE digest = $1)
       ON CONFLICT (source_digest, kind) DO UPDATE SET digest = EXCLUDED.digest,
         size_bytes = EXCLUDED.size_bytes, width_px = EXCLUDED.width_px,
         height_px = EXCLUDED.height_px, provenance = EXCLUDED.provenance, made_at = now()`,
      [
        digest,
        kind,
        stored.digest,
        stored.sizeBytes,
        size.widthPx,
        size.heightPx,
        JSON.stringify(provenance),
      ],
    );
    if (added > 0) return;
    // withdrawn while it was being made: what is left of it must go as well
    if (!(await isMadeOfAnother(archive.reads, digest, stored.digest))) {
      await objects.destroy(stored.digest);
    }
    await refuseWithdrawn(archive.reads, digest);
  } finally {
    await rm(outPath, { force: true });
  }
}

/** Made by the same version of the same function. */
async function isMade(tx: Tx, digest: string, { kind, provenance }: Derivation): Promise<boolean> {
  const row = await tx.first(
    'SELECT 1 FROM derivative WHERE source_digest = $1 AND kind = $2 AND provenance = $3::jsonb',
    [digest, kind, JSON.stringify(provenance)],
  );
  return row !== undefined;
}
