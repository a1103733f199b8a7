/** What was promised as a job: in the end each is done, however often the worker was killed. */
import { setTimeout as sleep } from 'node:timers/promises';
import type { PgPool } from '#libs/db';

interface Unended {
  /** jobs that came to a bad end */
  wrong: string[];
  /** jobs that were still under way when the time was up */
  late: string[];
}

export async function unendedJobs(pool: PgPool, limitMs: number): Promise<Unended> {
  const end = performance.now() + limitMs;
  for (;;) {
    const { rows } = await pool.query<{ queue: string; state: string; problem: unknown }>(
      `SELECT queue, state, problem FROM job_progress WHERE state <> 'done'`,
    );
    const isUnderWay = ({ state }: { state: string }) => state === 'waiting' || state === 'running';
    if (!rows.some(isUnderWay) || performance.now() > end) {
      const said = (of: typeof rows) =>
        of.map((row) => `job of ${row.queue}: ${row.state} ${JSON.stringify(row.problem)}`);
      return {
        wrong: said(rows.filter((row) => !isUnderWay(row))),
        late: said(rows.filter(isUnderWay)),
      };
    }
    await sleep(200);
  }
}
