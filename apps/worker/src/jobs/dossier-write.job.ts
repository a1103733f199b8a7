import { z } from 'zod';
import {
  type Archive,
  askTime,
  askWitness,
  DOSSIER_WRITE_QUEUE,
  type DossierRow,
  findRow,
  keepDossier,
  type OutsideConfig,
  type OwnHead,
} from '#libs/archive';
import { dossierBytes } from '#libs/dossier';
import { Problem } from '#libs/problem';
import { closingHead, dossierInput } from '../dossier/dossier-input.js';
import type { WorkerJob } from '../worker-job.js';

const payloadSchema = z.object({ dossierId: z.uuid() });

/**
 * Writes a dossier of the state that the asking entry closed, and keeps it. Run again it makes the
 * same bytes, and keeping them again is answered as the first time.
 */
export const dossierWrite: WorkerJob = {
  queue: DOSSIER_WRITE_QUEUE,
  async run(data, { archive, objects, outside }, run) {
    const { dossierId } = payloadSchema.parse(data);
    const row: DossierRow | undefined = await findRow(archive.reads, 'dossier', { dossierId });
    if (row === undefined)
      throw new Problem('dossier-unknown', `There is no dossier ${dossierId}.`);
    // Cosignatures may have come since: what is kept stays as it was kept.
    if (row.digest !== null) return { dossierId, digest: row.digest, sizeBytes: row.sizeBytes };
    run.progress('asking witnesses', 0);
    await askOutside(archive, outside, await closingHead(archive, row));
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

/**
 * Witnesses and the time authority are asked for the very head that closes the dossier. It is
 * written without them when they do not answer.
 */
async function askOutside(
  archive: Archive,
  { witnesses, witnessEveryMs, timeAuthority, timeEveryMs }: OutsideConfig,
  head: OwnHead,
): Promise<void> {
  const ports = { tx: archive.reads, fetch, now: () => new Date() };
  await Promise.all([
    ...witnesses.map((place) =>
      askWitness(head, place, { ...ports, everyMs: witnessEveryMs }, { isForced: true }),
    ),
    ...(timeAuthority === undefined
      ? []
      : [askTime(head, timeAuthority, { ...ports, everyMs: timeEveryMs }, { isForced: true })]),
  ]);
}

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
