/** What is told of backups, the drill and the reading of everything, by the rows that are there. */
import { createPool, createTestDatabase, type PgPool, type TestDatabase } from '#libs/db';
import { scrubHealth } from '../scrub/scrub-health.js';
import { Tx } from '../tx.js';
import { backupHealth, drillHealth } from './backup-health.js';
import { noteTrouble } from './backup-state.js';

const DAY_MS = 24 * 60 * 60 * 1000;
const NOW = new Date('2026-11-25T12:00:00Z');
const daysAgo = (days: number) => new Date(NOW.getTime() - days * DAY_MS);

let database: TestDatabase;
let pool: PgPool;
let tx: Tx;
beforeAll(async () => {
  database = await createTestDatabase();
  pool = createPool(database.applicationUrl, { max: 1 });
  tx = new Tx(pool);
}, 60_000);
beforeEach(async () => {
  for (const table of ['backup_run', 'backup_trouble', 'backup_drill', 'scrub'])
    await pool.query(`DELETE FROM ${table}`);
});
afterAll(async () => {
  await pool.end();
  await database.drop();
});

async function backup(days: number, { second = true, absent = 0 } = {}): Promise<void> {
  await pool.query(`INSERT INTO backup_run VALUES ($1, '/mnt/second', $2, $3, 12, 4096, $4)`, [
    `generation ${days}`,
    daysAgo(days),
    second,
    absent,
  ]);
}

describe('a backup', () => {
  it.each([
    ['good', 'made today', 0, {}, /^Last backup less than a day ago, to \/mnt\/second\.$/],
    ['good', 'made six days ago', 6, {}, /^Last backup 6 days ago, to \/mnt\/second\.$/],
    ['old', 'made a week ago', 7, {}, /since then is on one disk only/],
    ['same-disk', 'on the archive’s disk', 0, { second: false }, /on the same disk/],
    ['lossy', 'that lacks objects', 1, { absent: 3 }, /could not copy 3 objects/],
  ] as const)('is %s: %s', async (state, _what, days, options, says) => {
    await backup(days, options);
    const health = await backupHealth(tx, NOW);
    expect(health).toMatchObject({ state, place: '/mnt/second', madeAt: daysAgo(days) });
    expect(health.says).toMatch(says);
    expect(health.doThis === undefined).toBe(state === 'good');
  });

  it('on a second disk counts before a newer one on the same disk', async () => {
    await backup(3);
    await backup(1, { second: false });
    expect(await backupHealth(tx, NOW)).toMatchObject({ state: 'good', madeAt: daysAgo(3) });
  });

  it('that fails is told before all else, with how often and since when', async () => {
    await noteTrouble(tx, '/mnt/second', 'It is away.', daysAgo(2));
    const first = await backupHealth(tx, NOW);
    expect(first.state).toBe('failing');
    expect(first.says).toMatch(
      /failed once since 2026-11-23\. It is away\. There is no backup yet\.$/,
    );
    await backup(4);
    await noteTrouble(tx, '/mnt/second', 'It is full.', daysAgo(1));
    const second = await backupHealth(tx, NOW);
    expect(second.says).toMatch(
      /failed 2 times since 2026-11-23\. It is full\. The last one was made 4 days ago\.$/,
    );
  });

  it('there is none', async () => {
    expect(await backupHealth(tx, NOW)).toMatchObject({ state: 'none', place: null });
  });
});

describe('the drill', () => {
  // once a year is what the README asks for
  it.each([
    ['good', 10],
    ['good', 366],
    ['old', 400],
  ] as const)('is %s after %d days', async (state, days) => {
    await pool.query(`INSERT INTO backup_drill VALUES ('/mnt/second', $1, 'g', 'words')`, [
      daysAgo(days),
    ]);
    const health = await drillHealth(tx, NOW);
    expect(health).toMatchObject({ state, restoredAt: daysAgo(days), openedWith: 'words' });
    expect(health.says).toContain(`${days} days ago, with the words of the recovery sheet`);
  });

  it('was never done', async () => {
    expect(await drillHealth(tx, NOW)).toMatchObject({ state: 'none', restoredAt: null });
  });
});

describe('the reading of everything', () => {
  it.each([
    ['good', 3, 0, 0],
    ['good', 3, 2, 2],
    ['old', 61, 0, 0],
    ['damaged', 3, 2, 1],
  ] as const)(
    'is %s: %d days ago, %d in trouble, %d mended',
    async (state, days, troubles, mended) => {
      await pool.query(
        `INSERT INTO scrub VALUES (gen_random_uuid(), $1, $1, '{primary}', 12, 4096, 3, $2, $3, 'sha256:x', 1)`,
        [daysAgo(days), troubles, mended],
      );
      const health = await scrubHealth(tx, 30 * DAY_MS, NOW);
      expect(health).toMatchObject({ state, endedAt: daysAgo(days), isUnderWay: false });
      expect(health.says).toContain(`${days} days ago`);
      expect(health.doThis === undefined).toBe(state === 'good');
    },
  );
});
