import { z } from 'zod';
import { findRow, findRows, MEDIA_DESTROY_QUEUE, recordDestruction, type Tx } from '#libs/archive';
import type { WorkerJob } from '../worker-job.js';

const payloadSchema = z.object({ mediaId: z.uuid(), askedBy: z.uuid() });

interface Derived {
  sourceDigest: string;
  kind: string;
  digest: string;
}

/**
 * Destroys the bytes that a withdrawal names, in every store, and all pictures made from them, then
 * leaves an entry that says so. Killed anywhere it starts anew and ends the same.
 */
export const mediaDestroy: WorkerJob = {
  queue: MEDIA_DESTROY_QUEUE,
  async run(data, { archive, objects }, run) {
    const { mediaId, askedBy } = payloadSchema.parse(data);
    const { reads } = archive;
    const withdrawn = await findRows(reads, 'withdrawn_object', { mediaId });
    const media = (await findRow(reads, 'media', { mediaId }))!;
    const derived = await derivedFrom(reads, media.digest);
    for (const { sourceDigest, kind, digest } of derived) {
      run.signal.throwIfAborted();
      if (!(await isMadeOfAnother(reads, sourceDigest, digest))) await objects.destroy(digest);
      await reads.run('DELETE FROM derivative WHERE source_digest = $1 AND kind = $2', [
        sourceDigest,
        kind,
      ]);
    }
    for (const { digest } of withdrawn) {
      run.signal.throwIfAborted();
      await objects.destroy(digest);
    }
    await archive.run(
      recordDestruction,
      { mediaId, derivatives: derived.length },
      { actorId: askedBy, idempotencyKey: `job/${run.jobId}` },
    );
    return { objects: withdrawn.length, derivatives: derived.length };
  },
};

/** Two files with the same pixels share their pyramid: it stays for the one that is kept. */
export async function isMadeOfAnother(
  tx: Tx,
  sourceDigest: string,
  digest: string,
): Promise<boolean> {
  const row = await tx.first(
    'SELECT 1 FROM derivative WHERE digest = $2 AND source_digest <> $1 LIMIT 1',
    [sourceDigest, digest],
  );
  return row !== undefined;
}

/** Pyramid and preview of the bytes, and the steps of readings that they were part of. */
function derivedFrom(tx: Tx, digest: string): Promise<Derived[]> {
  return tx.query(
    `SELECT source_digest, kind, digest FROM derivative
     WHERE source_digest = $1 OR source_digest IN (
       SELECT n.reading ->> 'netDigest' FROM net_revision n
       JOIN media m ON m.media_id = ANY(n.media_ids) WHERE m.digest = $1)
     ORDER BY source_digest, kind`,
    [digest],
  );
}
