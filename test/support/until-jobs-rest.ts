import { setTimeout as sleep } from 'node:timers/promises';
import type { PgPool } from '#libs/db';

const LIMIT_MS = 60_000;

/** Waits until no job of people is waiting or running. */
export async function untilJobsRest(pool: PgPool): Promise<void> {
  for (const end = Date.now() + LIMIT_MS; ; ) {
    const { rows } = await pool.query<{ queue: string; state: string }>(
      `SELECT queue, state FROM job_progress WHERE state IN ('waiting', 'running')`,
    );
    if (rows.length === 0) return;
    if (Date.now() > end) throw new Error(`jobs do not end: ${JSON.stringify(rows)}`);
    await sleep(50);
  }
}
