/** The backup that is made by itself: what it copies, when it is due, and what is told when it fails. */
import {
  existsSync,
  mkdtempSync,
  readdirSync,
  renameSync,
  rmSync,
  statSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { PgBoss } from 'pg-boss';
import sharp from 'sharp';
import { readConfig } from '#libs/archive';
import { type RunningWorker, startWorker } from '../../apps/worker/src/start-worker.js';
import { type HomeArchive, serveHome } from '../support/home-archive.js';
import { addSite, Client, firstKeeper } from '../support/media-archive.js';
import { mullion } from '../support/run-command.js';
import { untilJobsRest } from '../support/until-jobs-rest.js';

let folder: string;
let archive: HomeArchive;
let keeper: Client;
let siteId: string;
let boss: PgBoss;
let worker: RunningWorker | undefined;
const at = (name: string): string => join(folder, name);

beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'mullion-schedule-'));
  archive = await serveHome(at('home'));
  keeper = await firstKeeper(archive.url);
  ({ siteId } = await addSite(keeper));
  boss = new PgBoss({
    connectionString: archive.config.databaseUrl,
    schedule: false,
    supervise: false,
    max: 1,
  });
  boss.on('error', () => undefined);
  await boss.start();
}, 120_000);
afterAll(async () => {
  await worker?.close();
  await boss.stop({ graceful: false });
  await archive.close();
  rmSync(folder, { recursive: true, force: true });
});

/** A worker with the plan of backups that its environment names; the one before is stopped. */
async function startWorkerWith(extra: Record<string, string>): Promise<void> {
  await worker?.close();
  worker = await startWorker(
    readConfig({
      DATABASE_URL: archive.config.databaseUrl,
      MULLION_HOME: archive.config.home,
      MULLION_KEY_FILE: archive.config.keyFile,
      ...extra,
    }),
  );
}

/** Half a second: each time it is asked, a backup is due. */
const AT_ONCE = { MULLION_BACKUP_EVERY_HOURS: '0.0001' };

/** What the schedule does, without its clock: one job of the queue, and what it came to. */
async function runScheduled(): Promise<Record<string, unknown>> {
  const id = (await boss.send('backup.make'))!;
  for (;;) {
    const [job] = await boss.findJobs('backup.make', { id });
    if (job?.state === 'completed') return job.output as Record<string, unknown>;
    if (job?.state === 'failed') throw new Error(JSON.stringify(job.output));
    await new Promise((resolve) => setTimeout(resolve, 100));
  }
}

async function addPicture(red: number): Promise<void> {
  const bytes = await sharp({
    create: { width: 90, height: 70, channels: 3, background: { r: red, g: 90, b: 140 } },
  })
    .png()
    .toBuffer();
  const sent = await keeper.fetch(
    `/v1/sites/${siteId}/media?fileName=red${red}.png&kind=photograph&subjects=SLM.wI.1a`,
    { method: 'PUT', body: bytes, headers: { 'Content-Type': 'image/png' } },
  );
  expect(sent.status).toBe(201);
  await untilJobsRest(archive.pool);
}

/** Objects of a store, by digest, with length and moment of writing. */
function objectsIn(root: string): Map<string, { sizeBytes: number; writtenMs: number }> {
  const found = new Map<string, { sizeBytes: number; writtenMs: number }>();
  if (!existsSync(join(root, 'sha256'))) return found;
  for (const file of readdirSync(join(root, 'sha256'), { recursive: true, withFileTypes: true })) {
    if (!file.isFile()) continue;
    const { size, mtimeMs } = statSync(join(file.parentPath, file.name));
    found.set(file.name, { sizeBytes: size, writtenMs: mtimeMs });
  }
  return found;
}

const state = async () => (await keeper.json('GET', '/v1/backups/state')).body;
const doctorRow = async (name: string): Promise<string> => {
  const { out } = await mullion(['doctor', '--home', at('home')]);
  return out.split('\n').find((line) => line.slice(6).startsWith(name)) ?? out;
};

it('is asked for by the schedule only where a place is named', async () => {
  const schedules = async () =>
    (await boss.getSchedules()).filter(({ name }) => name === 'backup.make');
  await startWorkerWith({});
  expect(await schedules()).toEqual([]);
  await startWorkerWith({ MULLION_BACKUP_TO: at('disk'), ...AT_ONCE });
  expect(await schedules()).toMatchObject([{ cron: '*/10 * * * *' }]);
}, 60_000);

it('needs no passphrase, and copies each object once', async () => {
  await addPicture(10);
  const first = await runScheduled();
  expect(first).toMatchObject({ made: true, absent: 0 });
  const held = objectsIn(at('home/objects'));
  const after = objectsIn(at('disk'));
  expect(first['copied']).toBe([...held.keys()].filter((digest) => after.has(digest)).length);

  await addPicture(11);
  const second = await runScheduled();
  const now = objectsIn(at('home/objects'));
  const fresh = [...now].filter(([digest]) => !after.has(digest));
  expect(fresh.length).toBeGreaterThan(0);
  expect(second).toMatchObject({
    made: true,
    copied: fresh.length,
    copiedBytes: fresh.reduce((sum, [, { sizeBytes }]) => sum + sizeBytes, 0),
  });
  // what lay there was not written again
  const last = objectsIn(at('disk'));
  const stayed = [...after].filter(([digest]) => last.has(digest));
  expect(stayed.length).toBeGreaterThanOrEqual(held.size);
  for (const [digest, file] of stayed) expect(last.get(digest)).toEqual(file);

  const third = await runScheduled();
  expect(third).toMatchObject({ made: true, copied: 0, copiedBytes: 0 });
}, 120_000);

it('waits until it is due', async () => {
  await startWorkerWith({ MULLION_BACKUP_TO: at('disk'), MULLION_BACKUP_EVERY_HOURS: '24' });
  expect(await runScheduled()).toEqual({ made: false });
}, 60_000);

it('that fails is told on the start page and by the doctor, while the archive works on', async () => {
  await startWorkerWith({ MULLION_BACKUP_TO: at('disk'), ...AT_ONCE });
  expect(await state()).toMatchObject({ state: 'same-disk', place: at('disk') });
  // the disk is away, and something else is where it was
  renameSync(at('disk'), at('away'));
  writeFileSync(at('disk'), 'no folder');
  expect(await runScheduled()).toEqual({ problem: 'backup-refused' });
  expect(await runScheduled()).toEqual({ problem: 'backup-refused' });
  await addPicture(12);
  expect((await fetch(`${archive.url}/v1/state`)).status).toBe(200);

  const failing = await state();
  expect(failing).toMatchObject({ state: 'failing', place: at('disk') });
  expect(failing['says']).toMatch(
    new RegExp(
      `^The backup to ${at('disk')} failed 2 times since \\d{4}-\\d\\d-\\d\\d\\. ${at('disk')} cannot be used .* The last one was made less than a day ago\\.$`,
    ),
  );
  expect(failing['doThis']).toMatch(/mullion admin backup/);
  expect(await doctorRow('backup')).toMatch(/^BAD .*failed 2 times/);

  rmSync(at('disk'));
  renameSync(at('away'), at('disk'));
  expect(await runScheduled()).toMatchObject({ made: true });
  expect(await state()).toMatchObject({ state: 'same-disk' });
  expect(await doctorRow('backup')).toMatch(/^LOOK .*same disk/);
}, 240_000);

it('trouble with a place that is not named any more is forgotten', async () => {
  await archive.pool.query(
    `INSERT INTO backup_trouble VALUES ('/mnt/gone', 'It is gone.', now(), now(), 3)`,
  );
  expect(await state()).toMatchObject({ state: 'failing' });
  await startWorkerWith({});
  expect(await state()).toMatchObject({ state: 'same-disk' });
}, 60_000);

it('is not written to the archive’s own disk when the second one is not mounted', async () => {
  await archive.pool.query('UPDATE backup_run SET second_disk = true');
  await startWorkerWith({ MULLION_BACKUP_TO: at('disk'), ...AT_ONCE });
  expect(await runScheduled()).toEqual({ problem: 'backup-refused' });
  expect((await state())['says']).toMatch(
    /is not the disk that holds the earlier backups: is it mounted\?/,
  );
  await archive.pool.query('UPDATE backup_run SET second_disk = false');
}, 60_000);

it('is told to keepers only, and the scrub and the second place with it', async () => {
  expect((await fetch(`${archive.url}/v1/backups/state`)).status).toBe(401);
  const password = 'a long pass phrase for a test';
  const added = await keeper.json('POST', '/v1/people', {
    displayName: 'Approver',
    login: 'approver',
    password,
    roles: [{ siteId: null, role: 'approver' }],
  });
  expect(added.status).toBe(201);
  const signedIn = await fetch(`${archive.url}/v1/session`, {
    method: 'POST',
    headers: { 'Content-Type': 'application/json' },
    body: JSON.stringify({ login: 'approver', password }),
  });
  const approver = new Client(archive.url, signedIn.headers.get('set-cookie')!.split(';')[0]!);
  const refused = await approver.json('GET', '/v1/backups/state');
  expect(refused.status).toBe(403);
  expect(JSON.stringify(refused.body)).not.toContain(folder);
  expect(await state()).toMatchObject({
    drill: { state: 'none', restoredAt: null, openedWith: null },
    scrub: { state: 'good', endedAt: null, isUnderWay: false, doThis: null },
    replica: { state: 'none', owed: 0, since: null, doThis: null },
  });
}, 60_000);
