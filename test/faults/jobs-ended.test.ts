/** Each way in which a job may not come to its end, planted once: the trials must see it. */
import { setTimeout as sleep } from 'node:timers/promises';
import type { PgPool } from '#libs/db';
import { type MediaArchive, startMediaArchive } from '../support/media-archive.js';
import type { Told } from './trials/act.js';
import { jobsEnded, roomForJobs } from './trials/jobs.js';

const LIMITS = { stillMs: 700, wholeMs: 20_000 };

let archive: MediaArchive;
let pool: PgPool;
/** two dossiers, asked for one after the other; nobody writes them */
let first: string;
let second: string;
beforeAll(async () => {
  archive = await startMediaArchive();
  pool = archive.pool;
  const asked = async () => {
    const { body } = await archive.keeper.json<{ jobId: string }>(
      'POST',
      `/v1/sites/${archive.siteId}/dossiers`,
      { subject: 'SLM.wI.1a', kind: 'keepers' },
    );
    return body.jobId;
  };
  first = await asked();
  second = await asked();
}, 60_000);
afterAll(() => archive.close());
afterEach(async () => {
  await pool.query(`UPDATE job_progress SET state = 'waiting', stage = NULL, changed_at = now()`);
  await pool.query(`UPDATE pgboss.job SET start_after = now() WHERE name = 'dossier.write'`);
});

/** As a worker tells how far it is. */
async function tell(jobId: string, state: string, stage: string): Promise<void> {
  await pool.query(
    'UPDATE job_progress SET state = $2, stage = $3, changed_at = now() WHERE job_id = $1',
    [jobId, state, stage],
  );
}

/** Tells again and again for as long as the archive is waited for. */
async function whileTelling<T>(telling: () => Promise<void>, waited: Promise<T>): Promise<T> {
  const over = new AbortController();
  const teller = (async () => {
    while (!over.signal.aborted) {
      await telling();
      await sleep(50);
    }
  })();
  try {
    return await waited;
  } finally {
    over.abort();
    await teller;
  }
}

const answered = (jobId: string): Told => ({
  token: 'tok-x-1',
  kind: 'dossier',
  digest: undefined,
  happened: undefined,
  state: 'answered',
  entry: undefined,
  jobId,
  again: () => Promise.resolve(),
});

it('names jobs that nothing goes on with, and counts them for the next ask', async () => {
  expect(await roomForJobs(pool, 8)).toEqual({ dossier: 6, extraction: 8 });
  expect(await roomForJobs(pool, 1)).toEqual({ dossier: 0, extraction: 1 });
  const { unended, wrong, lost } = await jobsEnded(pool, [answered(first)], LIMITS);
  expect(unended).toHaveLength(2);
  expect([...wrong, ...lost]).toEqual([]);
});

it('names the one that is passed over while later ones are done', async () => {
  const { unended } = await whileTelling(
    () => tell(second, 'done', ''),
    jobsEnded(pool, [], LIMITS),
  );
  expect(unended).toEqual([expect.stringContaining('waiting')]);
});

it('names the one whose row nobody in the queue answers for', async () => {
  await tell(second, 'done', '');
  await pool.query(`UPDATE pgboss.job SET state = 'completed' WHERE id = $1`, [first]);
  await pool.query(`UPDATE pgboss.job SET start_after = now() + interval '1 hour'`);
  const began = Date.now();
  const { unended } = await jobsEnded(pool, [], LIMITS);
  await pool.query(`UPDATE pgboss.job SET state = 'created' WHERE id = $1`, [first]);
  expect(unended).toHaveLength(1);
  expect(Date.now() - began).toBeLessThan(LIMITS.wholeMs);
});

it('waits in line as long as those before go on, far beyond the time for standing still', async () => {
  const began = Date.now();
  const { unended } = await whileTelling(
    async () => {
      const state = Date.now() - began > 3 * LIMITS.stillMs ? 'done' : 'running';
      await tell(first, state, 'writing');
      if (state === 'done') await tell(second, 'done', '');
    },
    jobsEnded(pool, [], LIMITS),
  );
  expect(unended).toEqual([]);
});

it('waits for the time at which the queue tries a job again, but not for ever', async () => {
  await tell(first, 'done', '');
  await pool.query(
    `UPDATE pgboss.job SET start_after = now() + interval '1 hour' WHERE name = 'dossier.write'`,
  );
  const began = Date.now();
  const limits = { ...LIMITS, wholeMs: 3 * LIMITS.stillMs };
  expect((await jobsEnded(pool, [], limits)).unended).toHaveLength(1);
  expect(Date.now() - began).toBeGreaterThan(limits.wholeMs - 100);
});

it('names jobs that failed, and such as were answered and are in no list', async () => {
  await tell(first, 'failed', '');
  await tell(second, 'done', '');
  const unknown = '0190a0c4-0000-7000-8000-00000000abcd';
  const { lost, wrong, unended } = await jobsEnded(pool, [answered(unknown)], LIMITS);
  expect(lost).toEqual([expect.stringContaining(unknown)]);
  expect(wrong).toEqual([expect.stringContaining('failed')]);
  expect(unended).toEqual([]);
});
