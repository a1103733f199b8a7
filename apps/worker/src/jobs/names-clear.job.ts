import { z } from 'zod';
import { CLEAR_NAMES_QUEUE, type Tx, takeOutNames } from '#libs/archive';
import type { WorkerJob } from '../worker-job.js';

const payloadSchema = z.object({ subjectIds: z.array(z.uuid()) });
const LOOK_MS = 200;

/**
 * Takes erased names out once more, after everything that was being written when the keys were
 * destroyed has ended: such a row shows a name that was opened just before.
 */
export const namesClear: WorkerJob = {
  queue: CLEAR_NAMES_QUEUE,
  async run(data, { archive }, run) {
    const { subjectIds } = payloadSchema.parse(data);
    const { reads } = archive;
    const { now } = (await reads.first<{ now: Date }>('SELECT clock_timestamp() AS now'))!;
    while (await isOlderAtWork(reads, now)) {
      run.signal.throwIfAborted();
      await new Promise((resolve) => setTimeout(resolve, LOOK_MS));
    }
    return { places: await takeOutNames(reads, subjectIds) };
  },
};

/** A transaction of ours that began before. Sessions of one role see what the others of it do. */
async function isOlderAtWork(tx: Tx, before: Date): Promise<boolean> {
  const row = await tx.first(
    `SELECT 1 FROM pg_stat_activity
     WHERE datname = current_database() AND usename = current_user AND xact_start < $1
       AND pid <> pg_backend_pid() LIMIT 1`,
    [before],
  );
  return row !== undefined;
}
