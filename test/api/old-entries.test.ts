/** Histories that earlier versions wrote are read as they stand, and shown in the newest shape. */
import { mkdtemp, readdir, readFile, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import * as archiveLib from '#libs/archive';
import { newestVersion, rebuildProjections, UPCASTERS } from '#libs/archive';
import { createPool, createTestDatabase, type PgPool, type TestDatabase } from '#libs/db';
import { canonicalBytes, type Entry, leafHash } from '#libs/ledger';
import { type ObjectStore, openObjectStore } from '#libs/objects';
import { loadLedgerFixture, readLedgerFixture } from '../support/ledger-fixture.js';
import { projectionDump } from '../support/projection-dump.js';
import { asJson, comparable, type Rows } from '../support/shown-then.js';

const FIXTURES = new URL('../../fixtures/', import.meta.url);

const folders = (await readdir(FIXTURES))
  .filter((name) => /^ledger-v\d+$/.test(name))
  .map((name) => new URL(`${name}/`, FIXTURES).pathname);

/** Written beside commands, when the archive's key is announced or changed: see the tests of keys. */
const BESIDE_COMMANDS = ['key.announce', 'key.change', 'log.epoch'];

/** Every type of entry that a command of this program writes. */
const types = Object.values(archiveLib as Record<string, unknown>)
  .filter(
    (one): one is { type: string } => typeof one === 'object' && one !== null && 'project' in one,
  )
  .map((command) => command.type)
  .sort();

interface Opened {
  readonly pool: PgPool;
  readonly objects: ObjectStore;
  readonly close: () => Promise<void>;
}

async function opened(folder: string): Promise<Opened> {
  const database: TestDatabase = await createTestDatabase();
  const pool = createPool(database.applicationUrl, { max: 2 });
  const scratch = await mkdtemp(join(tmpdir(), 'old-entries-'));
  const objects = await openObjectStore(`file:${scratch}`);
  await loadLedgerFixture(folder, pool, objects);
  return {
    pool,
    objects,
    async close() {
      await pool.end();
      await database.drop();
      await rm(scratch, { recursive: true, force: true });
    },
  };
}

describe.each(folders)('%s', (folder) => {
  it('is shown as it was when it was written', async () => {
    const then = JSON.parse(await readFile(join(folder, 'rows.json'), 'utf8')) as Rows;
    const { pool, objects, close } = await opened(folder);
    try {
      const entries = await readLedgerFixture(folder);
      expect(await rebuildProjections(pool, objects)).toBe(entries.length);
      expect(comparable(asJson(await projectionDump(pool)), then)).toEqual(then);
    } finally {
      await close();
    }
  }, 60_000);

  it('stays byte for byte what it was', async () => {
    const { pool, objects, close } = await opened(folder);
    try {
      await rebuildProjections(pool, objects);
      const { rows } = await pool.query<{ bytes: Buffer; leafHash: Buffer }>(
        `SELECT bytes, leaf_hash AS "leafHash" FROM entry JOIN log USING (log_id)
         ORDER BY site_id NULLS FIRST, log_id, seq`,
      );
      const lines = await readFile(join(folder, 'entries.jsonl'));
      expect(
        Buffer.concat(rows.map(({ bytes }) => Buffer.concat([bytes, Buffer.from('\n')]))),
      ).toEqual(lines);
      for (const { bytes, leafHash: kept } of rows) {
        expect(Buffer.from(leafHash(new Uint8Array(bytes)))).toEqual(kept);
      }
    } finally {
      await close();
    }
  }, 60_000);
});

it('there is a history with each type of entry, in its newest version', async () => {
  const versions = new Map<string, number>();
  for (const folder of folders) {
    for (const { entry } of await readLedgerFixture(folder)) {
      const { v = 1 } = entry.payload as { v?: number };
      versions.set(entry.type, Math.max(v, versions.get(entry.type) ?? 0));
    }
  }
  const missing = types.filter(
    (type) => !BESIDE_COMMANDS.includes(type) && versions.get(type) !== newestVersion(type),
  );
  // Changed a payload, or added a command? Add it to test/support/every-command.ts, then write a
  // history of the next number with test/support/make-ledger-fixture.mjs.
  expect(missing).toEqual([]);
});

it('every upcaster belongs to a type of entry', () => {
  expect(Object.keys(UPCASTERS).filter((type) => !types.includes(type))).toEqual([]);
});

describe('what this version does not know', () => {
  const changed = async (change: (entry: Entry) => Entry) => {
    const archive = await opened(folders[0]!);
    const { pool, objects } = archive;
    try {
      await rebuildProjections(pool, objects);
      const before = await projectionDump(pool);
      const lines = await readLedgerFixture(folders[0]!);
      const last = lines.filter(({ entry }) => entry.type === 'site.add')[0]!.entry;
      const { rows } = await pool.query<{ size: string; log_id: string }>(
        'SELECT size, log_id FROM log WHERE origin = $1',
        [last.log],
      );
      const seq = Number(rows[0]!.size);
      const bytes = Buffer.from(canonicalBytes(change({ ...last, seq })));
      await pool.query(
        `INSERT INTO entry (log_id, seq, type, subject, actor_id, recorded_at, bytes, leaf_hash)
         VALUES ($1, $2, 'x', NULL, $3, now(), $4, $5)`,
        [rows[0]!.log_id, seq, last.actorId, bytes, Buffer.from(leafHash(new Uint8Array(bytes)))],
      );
      const refused = await rebuildProjections(pool, objects).then(
        () => 'not refused',
        (error: unknown) => (error as Error).message,
      );
      expect(await projectionDump(pool)).toEqual(before);
      return refused;
    } finally {
      await archive.close();
    }
  };

  it('a payload of a later version is refused with a sentence, and nothing is changed', async () => {
    const said = await changed((entry) => ({
      ...entry,
      type: 'person.add',
      payload: { v: 99, personId: entry.actorId, grants: [] },
    }));
    expect(said).toMatch(
      /^entry \d+ of mullion\/.* is a person\.add of version 99; .*newer one\.$/,
    );
  }, 60_000);

  it('so is one whose version is no number', async () => {
    const said = await changed((entry) => ({ ...entry, payload: { v: 'two' } }));
    expect(said).toMatch(/is a site\.add of version "two"/);
  }, 60_000);

  it('so is a type of entry that no command writes', async () => {
    const said = await changed((entry) => ({ ...entry, type: 'roof.mend' }));
    expect(said).toMatch(/is a roof\.mend, which this version does not know/);
  }, 60_000);
});
