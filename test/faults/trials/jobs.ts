/**
 * What was promised as a job: in the end each is done, however often the worker was killed. All of them
 * are waited for, as long as it takes; one that stands while it could go on is stuck.
 */
import { setTimeout as sleep } from 'node:timers/promises';
import type { PgPool } from '#libs/db';
import { JOBS_OF_ACTS, type JobAct, type Told } from './act.js';

export interface JobFaults {
  /** answered with a job that no list has */
  lost: string[];
  /** jobs that came to a bad end */
  wrong: string[];
  /** jobs that stood still, or had not ended when the time was up */
  unended: string[];
}

export interface JobLimits {
  /** how long a job may stand that could go on */
  readonly stillMs: number;
  /** how long all of them are waited for */
  readonly wholeMs: number;
}

/** Far more than a killed worker's job lies before the queue gives it out again (20 s). */
export const JOB_LIMITS: JobLimits = { stillMs: 300_000, wholeMs: 5_400_000 };

interface OpenJob {
  readonly jobId: string;
  readonly queue: string;
  readonly state: string;
  readonly stage: string | null;
  readonly problem: unknown;
  readonly askedMs: number;
  /** since it could have gone on and nothing of it or before it did */
  readonly stillMs: number;
}

/**
 * A job stands since the last of these: it told of itself; the time came at which the queue tries it
 * again; one before it in its queue, or one that had begun before it was due, told of itself. What comes
 * after it is no excuse. Order is that of the queue's own rows: the server's clock is one of the things tried.
 */
const OPEN_JOBS = `
  SELECT p.job_id AS "jobId", p.queue, p.state, p.stage, p.problem,
         1000 * extract(epoch FROM now() - p.asked_at)::float AS "askedMs",
         1000 * extract(epoch FROM now() - greatest(p.changed_at, CASE WHEN q.start_after > now() THEN now() ELSE q.start_after END, (
           SELECT max(a.changed_at) FROM job_progress a JOIN pgboss.job b ON b.id::text = a.job_id AND b.name = a.queue
           WHERE a.queue = p.queue AND a.job_id <> p.job_id
             AND ((b.created_on, b.id) < (q.created_on, q.id)
               OR (b.state = 'active' AND b.started_on < q.start_after)))))::float AS "stillMs"
  FROM job_progress p
  LEFT JOIN pgboss.job q ON q.id::text = p.job_id AND q.name = p.queue AND q.state IN ('created', 'retry', 'active')
  WHERE p.state <> 'done'`;

/**
 * Waits until every job is done or stands, and until each that was answered is among them.
 *
 * @param told what people were answered
 */
export async function jobsEnded(
  pool: PgPool,
  told: readonly Told[],
  { stillMs, wholeMs }: JobLimits = JOB_LIMITS,
): Promise<JobFaults> {
  const end = performance.now() + wholeMs;
  for (;;) {
    const { rows } = await pool.query<OpenJob>(OPEN_JOBS);
    const failed = rows.filter(({ state }) => state === 'failed');
    const open = rows.filter(({ state }) => state !== 'failed');
    if (open.every((job) => job.stillMs > stillMs) || performance.now() > end) {
      return {
        lost: await jobsLost(pool, told),
        wrong: failed.map(sayJob),
        unended: open.map(sayJob),
      };
    }
    await sleep(200);
  }
}

function sayJob({ queue, state, stage, problem, askedMs, stillMs }: OpenJob): string {
  const seconds = (ms: number) => `${Math.round(ms / 1000)} s`;
  return `job of ${queue}: ${state} ${stage ?? ''} ${JSON.stringify(problem)}, asked for ${seconds(askedMs)} ago, standing for ${seconds(stillMs)}`;
}

async function jobsLost(pool: PgPool, told: readonly Told[]): Promise<string[]> {
  const promised = told.filter(({ jobId }) => jobId !== undefined);
  const { rows } = await pool.query<{ jobId: string }>(
    'SELECT job_id AS "jobId" FROM job_progress WHERE job_id = ANY($1)',
    [promised.map(({ jobId }) => jobId)],
  );
  const known = new Set(rows.map(({ jobId }) => jobId));
  return promised
    .filter(({ jobId }) => !known.has(jobId!))
    .map(({ kind, token, jobId }) => `${kind} ${token}: its job ${jobId!} is not there`);
}

/** How many more of each a studio asks for that has as many waiting as it has patience for. */
export async function roomForJobs(pool: PgPool, patience: number): Promise<Record<JobAct, number>> {
  const { rows } = await pool.query<{ queue: string; waiting: number }>(
    `SELECT queue, count(*)::int AS waiting FROM job_progress
     WHERE state IN ('waiting', 'running') GROUP BY queue`,
  );
  const waiting = new Map(rows.map((row) => [row.queue, row.waiting]));
  const room = (kind: JobAct) => Math.max(0, patience - (waiting.get(JOBS_OF_ACTS[kind]) ?? 0));
  return { dossier: room('dossier'), extraction: room('extraction') };
}
