import type { JobRequest } from './command.js';
import type { Tx } from './tx.js';

/** Puts a job into a queue inside the transaction of the command. */
export interface JobSender {
  send(job: JobRequest, tx: Tx): Promise<void>;
}

/** What is needed of pg-boss. */
interface Boss {
  send(
    queue: string,
    data: object,
    options: { id: string; db: Tx['forJobs'] },
  ): Promise<string | null>;
}

export function bossSender(boss: Boss): JobSender {
  return {
    async send({ queue, data, jobId }, tx) {
      const id = await boss.send(queue, { ...data, jobId }, { id: jobId, db: tx.forJobs });
      if (id === null) throw new Error(`queue ${queue} did not take job ${jobId}`);
    },
  };
}

/** Queues the jobs and the rows in which they tell how far they are. */
export async function queueJobs(
  tx: Tx,
  sender: JobSender,
  jobs: readonly JobRequest[],
  askedBy: string,
  now: Date,
): Promise<void> {
  for (const job of jobs) {
    await tx.write(
      `INSERT INTO job_progress (job_id, site_id, queue, subject, state, ratio, asked_by, asked_at, changed_at)
       VALUES ($1, $2, $3, $4, 'waiting', 0, $5, $6, $6)`,
      [job.jobId, job.siteId ?? null, job.queue, job.subject ?? null, askedBy, now],
      ['job_progress'],
    );
    await sender.send(job, tx);
  }
}
