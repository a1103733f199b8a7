/** What was promised as a job: in the end each is done, however often the worker was killed. */
import { setTimeout as sleep } from 'node:timers/promises';
import type { PgPool } from '#libs/db';

interface Unended {
  /** jobs that came to a bad end */
  wrong: string[];
  /** jobs that were still under way when the time was up */
  late: string[];
}

interface Row {
  queue: string;
  state: string;
  stage: string | null;
  problem: unknown;
  /** seconds since it last told how far it is, and since it was asked for */
  quiet_s: number;
  asked_s: number;
}

export async function unendedJobs(pool: PgPool, limitMs: number): Promise<Unended> {
  const end = performance.now() + limitMs;
  for (;;) {
    const { rows } = await pool.query<Row>(
      `SELECT queue, state, stage, problem, round(extract(epoch FROM now() - changed_at))::int AS quiet_s,
              round(extract(epoch FROM now() - asked_at))::int AS asked_s
       FROM job_progress WHERE state <> 'done'`,
    );
    const isUnderWay = ({ state }: { state: string }) => state === 'waiting' || state === 'running';
    if (!rows.some(isUnderWay) || performance.now() > end) {
      const said = (of: typeof rows) =>
        of.map(
          ({ queue, state, stage, problem, quiet_s, asked_s }) =>
            `job of ${queue}: ${state} ${stage ?? ''} ${JSON.stringify(problem)}, asked for ${asked_s} s ago, nothing heard for ${quiet_s} s`,
        );
      return {
        wrong: said(rows.filter((row) => !isUnderWay(row))),
        late: said(rows.filter(isUnderWay)),
      };
    }
    await sleep(200);
  }
}
