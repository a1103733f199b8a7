import { randomUUID } from 'node:crypto';
import { jest } from '@jest/globals';
import { Tx } from '#libs/archive';
import { createPool, createTestDatabase, type PgPool, type TestDatabase } from '#libs/db';
import { ImagingError } from '#libs/imaging';
import { ObjectStoreError } from '#libs/objects';
import { Problem } from '#libs/problem';
import { type DeadLetter, runJob } from './run-job.js';
import type { JobRun, WorkerPorts } from './worker-job.js';

let database: TestDatabase;
let pool: PgPool;
let ports: WorkerPorts;
beforeAll(async () => {
  database = await createTestDatabase();
  pool = createPool(database.applicationUrl, { max: 2 });
  // a job that does nothing itself needs only the rows in which it tells how far it is
  ports = { archive: { reads: new Tx(pool) } } as unknown as WorkerPorts;
}, 60_000);
afterAll(async () => {
  await pool.end();
  await database.drop();
});

class Letters implements DeadLetter {
  readonly kept: { queue: string; jobId: string; problem: string }[] = [];
  add(letter: { queue: string; jobId: string; problem: string }): Promise<void> {
    this.kept.push(letter);
    return Promise.resolve();
  }
}

async function waitingJob(): Promise<string> {
  const jobId = randomUUID();
  await pool.query(
    `INSERT INTO job_progress (job_id, queue, state, ratio, asked_by, asked_at, changed_at)
     VALUES ($1, 'media.derive', 'waiting', 0, $2, now(), now())`,
    [jobId, randomUUID()],
  );
  return jobId;
}

async function rowOf(jobId: string) {
  const { rows } = await pool.query<Record<string, unknown>>(
    'SELECT state, stage, ratio, result, problem FROM job_progress WHERE job_id = $1',
    [jobId],
  );
  return rows[0]!;
}

async function deliver(
  jobId: string,
  work: (run: JobRun) => Promise<Record<string, unknown>>,
  options: { retryCount?: number; stopping?: AbortSignal } = {},
) {
  const letters = new Letters();
  const outcome = await runJob(
    { queue: 'media.derive', run: (_data, _ports, run) => work(run) },
    {
      id: jobId,
      data: { some: 'payload' },
      signal: new AbortController().signal,
      retryCount: options.retryCount ?? 0,
      retryLimit: 30,
    },
    ports,
    letters,
    options.stopping ?? new AbortController().signal,
  ).then(
    (result) => ({ result }),
    (error: unknown) => ({ error }),
  );
  return { ...outcome, letters: letters.kept };
}

describe('runJob', () => {
  let errors: { mockRestore(): void };
  beforeEach(() => {
    errors = jest.spyOn(console, 'error').mockImplementation(() => undefined);
  });
  afterEach(() => {
    errors.mockRestore();
  });

  it('tells progress and result', async () => {
    const jobId = await waitingJob();
    let during: Record<string, unknown> = {};
    const { letters } = await deliver(jobId, async (run) => {
      expect((await rowOf(jobId))['state']).toBe('running');
      run.progress('half way', 0.5);
      await new Promise((resolve) => setTimeout(resolve, 100));
      during = await rowOf(jobId);
      return { made: 1 };
    });
    expect(during).toMatchObject({ state: 'running', stage: 'half way', ratio: 0.5 });
    expect(await rowOf(jobId)).toMatchObject({ state: 'done', ratio: 1, result: { made: 1 } });
    expect(letters).toEqual([]);
  });

  it.each([
    ['a problem', new Problem('extraction-failed', 'Tap the marks again.'), 'extraction-failed'],
    ['a damaged file', new ImagingError('file-damaged', 'Send it again.'), 'file-refused'],
  ])('ends with %s at once, in the dead letter', async (_name, error, code) => {
    const jobId = await waitingJob();
    const { letters, ...outcome } = await deliver(jobId, () => Promise.reject(error));
    expect(outcome).toEqual({ result: { problem: code } });
    expect(await rowOf(jobId)).toMatchObject({
      state: 'failed',
      problem: { type: `/problems/${code}`, detail: error.message, instance: `/jobs/${jobId}` },
    });
    expect(letters).toMatchObject([{ jobId, queue: 'media.derive', problem: error.message }]);
  });

  it('is tried again after what was not foreseen, and says nothing of it to people', async () => {
    const jobId = await waitingJob();
    const broken = new Error('password of the database');
    const again = await deliver(jobId, () => Promise.reject(broken));
    expect(again).toEqual({ error: broken, letters: [] });
    expect((await rowOf(jobId))['state']).toBe('waiting');
    const last = await deliver(jobId, () => Promise.reject(broken), { retryCount: 3 });
    expect(last).toMatchObject({ result: { problem: 'internal' }, letters: [{ jobId }] });
    const row = await rowOf(jobId);
    expect(row).toMatchObject({ state: 'failed', problem: { type: '/problems/internal' } });
    expect(JSON.stringify(row)).not.toContain('password');
  });

  it.each([
    // SQLSTATE 57P01, PostgreSQL, appendix A
    ['a database that shuts down', Object.assign(new Error('terminating'), { code: '57P01' })],
    ['an archive that cannot write', new Problem('archive-unavailable', 'Send it again.')],
    ['a store that is away', new ObjectStoreError('store-unavailable', 'no answer')],
    ['a disk without room', Object.assign(new Error('no space left'), { code: 'ENOSPC' })],
  ])('outlasts %s', async (_name, error) => {
    const jobId = await waitingJob();
    const often = await deliver(jobId, () => Promise.reject(error), { retryCount: 29 });
    expect(often).toEqual({ error, letters: [] });
    expect((await rowOf(jobId))['state']).toBe('waiting');
    const last = await deliver(jobId, () => Promise.reject(error), { retryCount: 30 });
    expect(last.letters).toHaveLength(1);
    expect((await rowOf(jobId))['state']).toBe('failed');
  });

  it('waits again when the worker stops in the middle', async () => {
    const jobId = await waitingJob();
    const stopping = new AbortController();
    const outcome = await deliver(
      jobId,
      (run) => {
        stopping.abort();
        run.signal.throwIfAborted();
        return Promise.resolve({});
      },
      { retryCount: 3, stopping: stopping.signal },
    );
    expect(outcome).toMatchObject({ error: { name: 'AbortError' } });
    expect((await rowOf(jobId))['state']).toBe('waiting');
  });
});
