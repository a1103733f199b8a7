/** For tests: two servers on one database, and a site with one panel of one light. */
import { generateKeyPairSync } from 'node:crypto';
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { createPool, createTestDatabase, type PgPool } from '#libs/db';
import { FileObjectStore } from '#libs/objects';
import { Archive } from './archive.js';
import { addSite, addWindow, panelIdOf, startArchive } from './commands/index.js';
import { uuidV7 } from './id.js';
import { signerFromKey } from './signer.js';
import { PROJECTIONS } from './tables.js';
import type { SqlPool } from './tx.js';

export interface TestServers {
  readonly pool: PgPool;
  readonly here: Archive;
  readonly other: Archive;
  readonly keeper: { readonly actorId: string };
  readonly siteId: string;
  readonly panelId: string;
  close(): Promise<void>;
}

/** @param seen the pool as the server called `here` is given it */
export async function openTestServers(
  seen: (pool: PgPool) => SqlPool = (pool) => pool,
): Promise<TestServers> {
  const database = await createTestDatabase();
  const pool = createPool(database.applicationUrl, { max: 6 });
  const folder = await mkdtemp(join(tmpdir(), 'servers-'));
  const ports = {
    pool,
    objects: await FileObjectStore.open(folder),
    jobs: { send: () => Promise.resolve() },
    signer: signerFromKey(generateKeyPairSync('ed25519').privateKey),
  };
  const here = await Archive.open({ ...ports, pool: seen(pool) });
  const other = await Archive.open(ports);
  const keeper = { actorId: uuidV7(Date.now()) };
  await here.run(
    startArchive,
    { displayName: 'Head', login: 'head', password: 'a long pass phrase' },
    keeper,
  );
  return {
    pool,
    here,
    other,
    keeper,
    ...(await drawPanel(here, keeper, 'TWO')),
    async close() {
      await here.close();
      await other.close();
      await pool.end();
      await database.drop();
      await rm(folder, { recursive: true, force: true });
    },
  };
}

/** A site of its own with a window of one panel, 500 × 600 mm. */
export async function drawPanel(
  archive: Archive,
  asking: { readonly actorId: string },
  code: string,
): Promise<{ siteId: string; panelId: string }> {
  const site = await archive.run(addSite, { code, name: code, scheme: 'church' }, asking);
  const { siteId } = site.answer;
  const opening = { kind: 'rectangular', widthMm: 500, heightMm: 600 };
  const lights = [{ letter: 'a', xMm: 0, yMm: 0, opening, rowHeightsMm: [600] }];
  const window = await archive.run(
    addWindow,
    { siteId, mark: 'wI', title: 'West', drawing: { opening, lights, tracery: [], bars: [] } },
    asking,
  );
  return { siteId, panelId: panelIdOf(window.answer.windowId, '1a') };
}

/** Every row of every projection as text. */
export async function projectionRows(pool: PgPool): Promise<Record<string, unknown>> {
  const tables: Record<string, unknown> = {};
  for (const table of Object.keys(PROJECTIONS)) {
    tables[table] = (await pool.query(`SELECT t::text FROM "${table}" t ORDER BY 1`)).rows;
  }
  return tables;
}

/** A crack of 50 mm as a finding's body says it. */
export function crack(note: string, evidence: string[] = []) {
  const xyMm = [
    [10, 10],
    [60, 10],
  ];
  const geometry = { kind: 'line', xyMm };
  return { term: 'glass.crack.simple', geometry, face: 'inside', evidence, note };
}
