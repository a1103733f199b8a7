import { randomUUID } from 'node:crypto';
import { rm } from 'node:fs/promises';
import { join } from 'node:path';
import { z } from 'zod';
import { type AskedAssembly, askedSchema, findRow, storeAssembly } from '#libs/archive';
import { Problem } from '#libs/problem';
import { ShardsBench } from '../assemble-shards.js';
import { mediaPixels } from '../media-pixels.js';
import type { JobRun, WorkerJob, WorkerPorts } from '../worker-job.js';

const payloadSchema = z.object({ assemblyId: z.uuid(), jobId: z.uuid(), askedBy: z.uuid() });

/** Share of the whole that reading the pictures takes; only for the bar on the screen. */
const READ_RATIO = 0.4;
const FOUND_RATIO = 0.95;

/**
 * Finds the shards of a piece in their pictures and how they may lie together. Run again it stores nothing new: the
 * command's key is the job.
 */
export const shardsAssemble: WorkerJob = {
  queue: 'shards.assemble',
  async run(data, ports, run) {
    const payload = payloadSchema.safeParse(data);
    if (!payload.success) throw new Problem('request-invalid', payload.error.message);
    const { assemblyId, askedBy } = payload.data;
    const row = await findRow(ports.archive.reads, 'assembly', { assemblyId });
    if (row === undefined) throw new Problem('assembly-unknown', `There is no ${assemblyId}.`);
    const asked = askedSchema.parse(row.asked);
    const bench = new ShardsBench(ports.shardsThread, run.signal);
    try {
      for (const [i, picture] of asked.pictures.entries()) {
        run.progress('finding the shards', (READ_RATIO * i) / asked.pictures.length);
        await readOne(bench, picture, ports, run);
      }
      run.progress('trying edges against edges', READ_RATIO);
      const proposal = await bench.assemble({ kind: 'assemble', ...asked }, (ratio) => {
        run.progress('trying edges against edges', READ_RATIO + ratio * (FOUND_RATIO - READ_RATIO));
      });
      run.progress('storing', FOUND_RATIO);
      const { answer } = await ports.archive.run(
        storeAssembly,
        { assemblyId, proposal },
        { actorId: askedBy, idempotencyKey: `job/${run.jobId}` },
      );
      const { placed, shards } = answer;
      return { assemblyId, placed, shards };
    } finally {
      await bench.close();
    }
  },
};

/** Pixels of one picture lie on the disk at a time. */
async function readOne(
  bench: ShardsBench,
  { shard, mediaId, pxPerMm }: AskedAssembly['pictures'][number],
  ports: WorkerPorts,
  { signal }: JobRun,
): Promise<void> {
  signal.throwIfAborted();
  const path = join(ports.scratchFolder, randomUUID());
  try {
    const { widthPx, heightPx } = await mediaPixels(ports, mediaId, path);
    await bench.read({ kind: 'picture', shard, path, widthPx, heightPx, pxPerMm });
  } finally {
    await rm(path, { force: true });
  }
}
