import type { JobWithMetadata } from 'pg-boss';
import { isArchiveAway, isRefusedForGood } from '#libs/archive';
import { ImagingError } from '#libs/imaging';
import { Problem } from '#libs/problem';
import { JobProgress } from './job-progress.js';
import type { WorkerJob, WorkerPorts } from './worker-job.js';

/**
 * Times that a job is tried again after an error of its own. What the database, the store or the
 * worker's end did to it is tried again as often as its queue allows.
 */
const OWN_FAULTS = 3;

/** Where jobs end that no retry can mend; people see them in the list of failed jobs. */
export interface DeadLetter {
  add(letter: { queue: string; jobId: string; data: unknown; problem: string }): Promise<void>;
}

/**
 * Runs one delivery of a job and tells how it goes.
 *
 * @throws what the job threw, when the queue shall try it again
 */
export async function runJob(
  job: WorkerJob,
  delivery: Pick<JobWithMetadata, 'id' | 'data' | 'signal' | 'retryCount' | 'retryLimit'>,
  ports: WorkerPorts,
  deadLetter: DeadLetter,
  stopping: AbortSignal,
): Promise<Record<string, unknown>> {
  const progress = new JobProgress(ports.archive.reads, delivery.id);
  const signal = AbortSignal.any([delivery.signal, stopping]);
  await progress.started();
  try {
    const result = await job.run(delivery.data, ports, {
      jobId: delivery.id,
      signal,
      progress: (stage, ratio) => {
        progress.step(stage, ratio);
      },
    });
    await progress.done(result);
    return result;
  } catch (error) {
    if (signal.aborted) {
      await progress.waitsAgain();
      throw error;
    }
    const refused = finalProblem(error);
    const { retryCount, retryLimit } = delivery;
    const isLast = retryCount >= (isArchiveAway(error) ? retryLimit : OWN_FAULTS);
    if (refused === undefined && !isLast) {
      console.error(`job ${delivery.id} of ${job.queue} failed and will be tried again:`, error);
      await progress.waitsAgain();
      throw error;
    }
    if (refused === undefined) console.error(`job ${delivery.id} of ${job.queue} failed:`, error);
    const problem = refused ?? unforeseen(error);
    await progress.failed(problem);
    await deadLetter.add({
      queue: job.queue,
      jobId: delivery.id,
      data: delivery.data,
      problem: problem.message,
    });
    return { problem: problem.code };
  }
}

/** What the file or the request is to blame for; a retry would end the same. */
function finalProblem(error: unknown): Problem | undefined {
  if (isRefusedForGood(error)) return error;
  if (error instanceof ImagingError) {
    return new Problem('file-refused', error.message, { fault: error.fault }, { cause: error });
  }
  return undefined;
}

function unforeseen(cause: unknown): Problem {
  return new Problem('internal', 'The worker’s log says more. Tell the keeper.', {}, { cause });
}
