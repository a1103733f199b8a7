import type { JobWithMetadata } from 'pg-boss';

/** Of one queue, one after the other. */
const TAKING = { includeMetadata: true, pollingIntervalSeconds: 0.5, batchSize: 1 } as const;

/** What is needed of pg-boss. */
interface Boss {
  work(
    queue: string,
    options: typeof TAKING,
    handler: (jobs: JobWithMetadata[]) => Promise<unknown>,
  ): Promise<string>;
  notifyWorker(workerId: string): void;
}

/**
 * Takes the jobs of a queue. After each that ended well the next is looked for at once: the queue itself
 * looks twice a second, and a visit's photographs, each the work of a tenth of a second, would wait for that.
 */
export async function takeJobs(
  boss: Boss,
  queue: string,
  run: (delivery: JobWithMetadata) => Promise<unknown>,
): Promise<void> {
  const taker: { id?: string } = {};
  taker.id = await boss.work(queue, TAKING, async ([delivery]) => {
    const result = await run(delivery!);
    if (taker.id !== undefined) boss.notifyWorker(taker.id);
    return result;
  });
}
