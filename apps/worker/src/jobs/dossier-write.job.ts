import { z } from 'zod';
import { DOSSIER_WRITE_QUEUE, type DossierRow, findRow, keepDossier } from '#libs/archive';
import { dossierBytes } from '#libs/dossier';
import { Problem } from '#libs/problem';
import { dossierInput } from '../dossier/dossier-input.js';
import type { WorkerJob } from '../worker-job.js';

const payloadSchema = z.object({ dossierId: z.uuid() });

/**
 * Writes a dossier of the state that the asking entry closed, and keeps it. Run again it makes the
 * same bytes, and keeping them again is answered as the first time.
 */
export const dossierWrite: WorkerJob = {
  queue: DOSSIER_WRITE_QUEUE,
  async run(data, { archive, objects }, run) {
    const { dossierId } = payloadSchema.parse(data);
    const row: DossierRow | undefined = await findRow(archive.reads, 'dossier', { dossierId });
    if (row === undefined)
      throw new Problem('dossier-unknown', `There is no dossier ${dossierId}.`);
    run.progress('gathering', 0);
    const input = await dossierInput(archive, row, (ratio) => {
      run.progress('gathering', ratio * 0.4);
    });
    run.signal.throwIfAborted();
    run.progress('writing', 0.4);
    const stored = await objects.put(
      watched(dossierBytes(input), run.signal, (bytes) => {
        // Length is known only at the end; a curve that nears the end is honest enough for a bar.
        run.progress('writing', 0.4 + 0.55 * (1 - Math.exp(-bytes / 50e6)));
      }),
    );
    run.progress('keeping', 0.95);
    const { answer } = await archive.run(
      keepDossier,
      { dossierId, ...stored },
      { actorId: row.askedBy, idempotencyKey: `job/${run.jobId}` },
    );
    return { dossierId, digest: answer.digest, sizeBytes: answer.sizeBytes };
  },
};

async function* watched(
  chunks: AsyncIterable<Uint8Array>,
  signal: AbortSignal,
  onBytes: (bytes: number) => void,
): AsyncGenerator<Uint8Array> {
  let bytes = 0;
  for await (const chunk of chunks) {
    signal.throwIfAborted();
    bytes += chunk.length;
    onBytes(bytes);
    yield chunk;
  }
}
