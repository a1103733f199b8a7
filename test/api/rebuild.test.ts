/** `mullion admin rebuild` as a process, on an archive in which every kind of change was made. */
import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { readFileSync } from 'node:fs';
import { copyFile, rm } from 'node:fs/promises';
import { join } from 'node:path';
import { Archive, signerFromPem } from '#libs/archive';
import { openObjectStore } from '#libs/objects';
import { type ApiArchive, startApiArchive } from '../support/api-archive.js';
import { useEveryCommand } from '../support/every-command.js';
import { projectionDump } from '../support/projection-dump.js';

let archive: ApiArchive;
let story: Archive;
let keeperId: string;

beforeAll(async () => {
  archive = await startApiArchive();
  const { config, pool } = archive;
  story = await Archive.open({
    pool,
    objects: await openObjectStore(config.objects),
    signer: signerFromPem(readFileSync(config.keyFile)),
    jobs: { send: () => Promise.resolve() },
  });
  const { rows } = await pool.query<{ id: string }>('SELECT person_id AS id FROM person');
  keeperId = rows[0]!.id;
  await useEveryCommand(story, keeperId);
}, 120_000);
afterAll(async () => {
  await story.close();
  await archive.close();
});

/** The command as a person types it, beside the running server. */
async function rebuild(): Promise<{ code: number | null; said: string }> {
  const main = join(import.meta.dirname, '../../apps/cli/src/main.ts');
  const loader = join(import.meta.dirname, '../run-source.mjs');
  const child = spawn(process.execPath, ['--import', loader, main, 'admin', 'rebuild'], {
    env: {
      ...process.env,
      NODE_OPTIONS: '',
      DATABASE_URL: archive.config.databaseUrl,
      MULLION_HOME: archive.config.home,
      MULLION_KEY_FILE: archive.config.keyFile,
    },
    stdio: ['ignore', 'pipe', 'pipe'],
  });
  let said = '';
  for (const stream of [child.stdout, child.stderr]) {
    stream.setEncoding('utf8').on('data', (text: string) => (said += text));
  }
  const [code] = (await once(child, 'exit')) as [number | null];
  return { code, said };
}

const entries = async () =>
  (await archive.pool.query<{ n: number }>('SELECT count(*)::int AS n FROM entry')).rows[0]!.n;

it('gives the same rows, byte for byte', async () => {
  const before = await projectionDump(archive.pool);
  // nothing of what every command writes is left out
  for (const table of ['person', 'name_place', 'withdrawn_object', 'media', 'finding', 'dossier']) {
    expect([table, before[table]!.length > 0]).toEqual([table, true]);
  }
  await archive.pool.query(`UPDATE finding SET note = 'somebody was here'`);
  await archive.pool.query('DELETE FROM piece');
  await archive.pool.query(`UPDATE person SET display_name = 'somebody else'`);
  const { code, said } = await rebuild();
  expect(said).toBe(`made again from ${await entries()} entries\n`);
  expect(code).toBe(0);
  expect(JSON.stringify(await projectionDump(archive.pool))).toBe(JSON.stringify(before));
}, 120_000);

it('while the server writes: nothing is lost, and the rows are those of all entries', async () => {
  const { keeper } = archive;
  const sites = (await keeper.get('/v1/sites').expect(200)).body as { items: { siteId: string }[] };
  const { siteId } = sites.items[0]!;
  const running = rebuild();
  const state = { ended: false };
  void running.finally(() => (state.ended = true));
  const acknowledged: string[] = [];
  for (let i = 0; !state.ended || i < 5; i++) {
    const text = `written meanwhile ${i}`;
    await keeper
      .post(`/v1/sites/${siteId}/aliases`, { mark: 'wI', scheme: 'x', text, source: 'y' })
      .expect(201);
    acknowledged.push(text);
  }
  expect((await running).code).toBe(0);
  const live = await projectionDump(archive.pool);
  const shown = live['alias']!.map((row) => row['text']);
  expect(shown).toEqual(expect.arrayContaining(acknowledged));
  expect((await rebuild()).code).toBe(0);
  expect(JSON.stringify(await projectionDump(archive.pool))).toBe(JSON.stringify(live));
}, 180_000);

it('refused with a sentence when an object that rows are made of is gone; nothing is changed', async () => {
  const before = await projectionDump(archive.pool);
  const { rows } = await archive.pool.query<{ digest: string }>(
    `SELECT digest FROM stored_object WHERE role = 'drawing' LIMIT 1`,
  );
  const path = story.objects.path!(rows[0]!.digest);
  const aside = `${archive.config.home}/aside`;
  await copyFile(path, aside);
  await rm(path, { force: true });
  const { code, said } = await rebuild();
  expect(code).not.toBe(0);
  expect(said).toContain(rows[0]!.digest.slice('sha256:'.length));
  expect(await projectionDump(archive.pool)).toEqual(before);
  await copyFile(aside, path);
  expect((await rebuild()).code).toBe(0);
}, 120_000);
