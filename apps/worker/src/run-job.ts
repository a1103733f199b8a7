import type { JobWithMetadata } from 'pg-boss';
import { ImagingError } from '#libs/imaging';
import { Problem } from '#libs/problem';
import { JobProgress } from './job-progress.js';
import type { WorkerJob, WorkerPorts } from './worker-job.js';

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
    const problem = finalProblem(error);
    const isLast = delivery.retryCount >= delivery.retryLimit;
    if (problem === undefined && !isLast) {
      console.error(`job ${delivery.id} of ${job.queue} failed and will be tried again:`, error);
      await progress.waitsAgain();
      throw error;
    }
    if (problem === undefined) console.error(`job ${delivery.id} of ${job.queue} failed:`, error);
    await progress.failed(problem ?? unforeseen(error));
    if (problem === undefined) throw error;
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
  if (error instanceof Problem) return error;
  if (error instanceof ImagingError) {
    return new Problem('file-refused', error.message, { fault: error.fault }, { cause: error });
  }
  return undefined;
}

function unforeseen(cause: unknown): Problem {
  return new Problem('internal', 'The worker’s log says more. Tell the keeper.', {}, { cause });
}
