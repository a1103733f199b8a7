/** What was promised as a job: in the end each is done, however often the worker was killed. */
import { setTimeout as sleep } from 'node:timers/promises';
import type { PgPool } from '#libs/db';

/** @returns a line for each job that did not come to a good end within the time */
export async function unendedJobs(pool: PgPool, limitMs: number): Promise<string[]> {
  const end = performance.now() + limitMs;
  for (;;) {
    const { rows } = await pool.query<{ queue: string; state: string; problem: unknown }>(
      `SELECT queue, state, problem FROM job_progress WHERE state <> 'done'`,
    );
    const isUnderWay = rows.some(({ state }) => state === 'waiting' || state === 'running');
    if (!isUnderWay || performance.now() > end) {
      return rows.map((row) => `job of ${row.queue}: ${row.state} ${JSON.stringify(row.problem)}`);
    }
    await sleep(500);
  }
}
