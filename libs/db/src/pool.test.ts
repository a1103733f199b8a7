import { createPool } from './pool.js';
import { createTestDatabase } from './test-database.js';

it('outlives the loss of a connection that is lent out and at rest', async () => {
  const database = await createTestDatabase();
  const pool = createPool(database.applicationUrl, { max: 2 });
  try {
    const lent = await pool.connect();
    const { rows } = await lent.query<{ pid: number }>('SELECT pg_backend_pid() AS pid');
    const ended = new Promise((resolve) => lent.once('end', resolve));
    await pool.query('SELECT pg_terminate_backend($1)', [rows[0]!.pid]);
    await ended;
    await expect(lent.query('SELECT 1')).rejects.toThrow();
    lent.release(true);
    expect((await pool.query('SELECT 1 AS one')).rows).toEqual([{ one: 1 }]);
  } finally {
    await pool.end();
    await database.drop();
  }
});
