/**
 * Jobs that the queue itself gave up: their worker ended each time before it could say anything. Whoever
 * asked is told, else the job would stand as running for ever.
 */
import { Problem } from '#libs/problem';
import { JobProgress } from './job-progress.js';
import type { WorkerPorts } from './worker-job.js';

/** @param letter what lies in the queue of dead letters: the job's own data, or what `runJob` wrote */
export async function tellGivenUp(letter: unknown, { archive }: WorkerPorts): Promise<void> {
  const { jobId } = letter as { jobId?: unknown };
  if (typeof jobId !== 'string') return;
  const row = await archive.reads.first<{ state: string }>(
    'SELECT state FROM job_progress WHERE job_id = $1',
    [jobId],
  );
  if (row === undefined || row.state === 'done' || row.state === 'failed') return;
  await new JobProgress(archive.reads, jobId).failed(
    new Problem(
      'internal',
      'The worker ended each time it was at this. What was sent is kept; ask again, and tell the keeper if it comes back.',
    ),
  );
}
