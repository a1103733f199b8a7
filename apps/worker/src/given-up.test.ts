import { Tx } from '#libs/archive';
import { createPool, createTestDatabase } from '#libs/db';
import { tellGivenUp } from './given-up.js';
import type { WorkerPorts } from './worker-job.js';

it('tells who asked that the queue gave a job up, and leaves ended ones as they are', async () => {
  const database = await createTestDatabase();
  const pool = createPool(database.applicationUrl, { max: 1 });
  try {
    const ids = ['running', 'done'].map((state, i) => ({
      state,
      jobId: `0190a0c4-0000-7000-8000-00000000000${i}`,
    }));
    for (const { state, jobId } of ids) {
      await pool.query(
        `INSERT INTO job_progress (job_id, queue, state, ratio, asked_by, asked_at, changed_at)
         VALUES ($1::text, 'rubbing.extract', $2, 0, $1::text::uuid, now(), now())`,
        [jobId, state],
      );
      const ports = { archive: { reads: new Tx(pool) } } as unknown as WorkerPorts;
      await tellGivenUp({ jobId, rubbingId: 'any' }, ports);
    }
    const { rows } = await pool.query<{ state: string; problem: { detail: string } | null }>(
      'SELECT state, problem FROM job_progress ORDER BY job_id',
    );
    expect(rows.map(({ state }) => state)).toEqual(['failed', 'done']);
    expect(rows[0]!.problem!.detail).toContain('ask again');
    expect(rows[1]!.problem).toBeNull();
  } finally {
    await pool.end();
    await database.drop();
  }
});
