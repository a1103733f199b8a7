import { open } from 'node:fs/promises';
import { createPool } from '#libs/db';
import { isDatabaseAway } from './database-away.js';

/** SQLSTATE as PostgreSQL documents them in its appendix A. */
const sqlError = (code: string) =>
  Object.assign(new Error(`a statement failed: ${code}`), { code });

const thrownBy = (work: Promise<unknown>) =>
  work.then(
    () => {
      throw new Error('it should have failed');
    },
    (error: unknown) => error,
  );

it.each([
  ['08006', 'connection_failure', true],
  ['40001', 'serialization_failure', true],
  ['53300', 'too_many_connections', true],
  ['57P01', 'admin_shutdown', true],
  ['23505', 'unique_violation', false],
  ['42601', 'syntax_error', false],
  ['22P05', 'untranslatable_character', false],
])('%s %s: %s', (code, _name, isAway) => {
  expect(isDatabaseAway(sqlError(code))).toBe(isAway);
});

it.each([
  ['nobody listens at its port', 'postgresql://nobody@127.0.0.1:1/none'],
  ['its socket is gone', 'postgresql:///none?host=/nonexistent&user=nobody'],
])('is away when %s', async (_what, address) => {
  const pool = createPool(address, { max: 1 });
  expect(isDatabaseAway(await thrownBy(pool.query('SELECT 1')))).toBe(true);
  await pool.end();
});

it('is not away because a file is missing', async () => {
  expect(isDatabaseAway(await thrownBy(open('/nonexistent/file')))).toBe(false);
});
