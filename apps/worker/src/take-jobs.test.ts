import { PgBoss } from 'pg-boss';
import { createTestDatabase, type TestDatabase } from '#libs/db';
import { takeJobs } from './take-jobs.js';

let database: TestDatabase;
let boss: PgBoss;
beforeAll(async () => {
  database = await createTestDatabase();
  boss = new PgBoss({ connectionString: database.ownerUrl, schema: 'taking', max: 2 });
  await boss.start();
}, 60_000);
afterAll(async () => {
  await boss.stop({ graceful: false });
  await database.drop();
});

/** Milliseconds from the beginning of the first of so many jobs to that of the last. */
async function spanMs(queue: string, run: () => Promise<unknown>, count: number): Promise<number> {
  await boss.createQueue(queue, { retryLimit: 0 });
  for (let i = 0; i < count; i++) await boss.send(queue, { i });
  const begun: number[] = [];
  await new Promise<void>((resolve) => {
    void takeJobs(boss, queue, () => {
      begun.push(performance.now());
      if (begun.length === count) resolve();
      return run();
    });
  });
  return begun.at(-1)! - begun[0]!;
}

/** pg-boss sleeps as long between two looks, unless it is woken. */
const LOOK_MS = 500;

it('looks for the next job as soon as one has ended', async () => {
  expect(await spanMs('quick', () => Promise.resolve({}), 9)).toBeLessThan(6 * LOOK_MS);
}, 30_000);

it('waits for its next look after a job that broke, so that a sick database is not hammered', async () => {
  const broken = () => Promise.reject(new Error('away'));
  expect(await spanMs('sick', broken, 4)).toBeGreaterThan(2.5 * LOOK_MS);
}, 30_000);
