import { existsSync, readdirSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { jest } from '@jest/globals';
import { createPool, createTestDatabase, type PgPool, type TestDatabase } from '#libs/db';
import { formatVerifierKey, type LogVerdict, verifierKey, verifyLog } from '#libs/ledger';
import { FileObjectStore } from '#libs/objects';
import { Archive } from '../archive.js';
import { addSite, describeSite, startArchive } from '../commands/index.js';
import { PROGRAM_ACTOR, uuidV7 } from '../id.js';
import { rebuildProjections } from '../rebuild.js';
import { type NamedStatement, type SqlPool, type SqlPoolClient, Tx } from '../tx.js';
import { sealingKeyOf } from './announcement.js';
import { ArchiveKeys } from './archive-keys.js';
import { KeyFile, newKeyPem } from './key-file.js';
import { newRecoveryWords, publicBytesOf, recoveryKeysFromWords } from './recovery-words.js';

jest.setTimeout(120_000);

const keeper = uuidV7(Date.parse('2026-11-25T08:00:00.000Z'));
const asking = { actorId: keeper };

let database: TestDatabase;
let pool: PgPool;
let home: string;
let keyFile: string;
let objects: FileObjectStore;
let keys: ArchiveKeys;
let archive: Archive;

beforeEach(async () => {
  database = await createTestDatabase();
  pool = createPool(database.applicationUrl, { max: 6 });
  home = await mkdtemp(join(tmpdir(), 'archive-keys-'));
  keyFile = join(home, 'archive-key.pem');
  writeFileSync(keyFile, newKeyPem(), { mode: 0o600 });
  objects = await FileObjectStore.open(join(home, 'objects'));
  keys = new ArchiveKeys({ pool, objects, keyFile, home });
  archive = await opened();
  await archive.run(
    startArchive,
    { displayName: 'Head', login: 'head', password: 'a long pass phrase' },
    asking,
  );
  await archive.run(addSite, { code: 'SLM', name: 'Sallowmere Chapel', scheme: 'church' }, asking);
});
afterEach(async () => {
  await archive.close();
  await pool.end();
  await database.drop();
  await rm(home, { recursive: true, force: true });
});

/** As a server opens it. */
async function opened(): Promise<Archive> {
  await keys.settle();
  const ring = KeyFile.open(keyFile);
  const made = await Archive.open({
    pool,
    objects,
    signer: ring,
    jobs: { send: () => Promise.reject(new Error('no queue here')) },
  });
  await keys.announceFirst(ring);
  return made;
}

async function work(by = archive): Promise<void> {
  const { rows } = await pool.query<{ site_id: string; version: string }>(
    'SELECT site_id, version FROM site ORDER BY version LIMIT 1',
  );
  const { site_id: siteId, version } = rows[0]!;
  const body = { siteId, name: 'Sallowmere Chapel', place: null };
  await by.run(describeSite, body, { ...asking, ifMatch: version });
}

/** Every log by the check that a reader would run, against a fingerprint. */
async function checked(fingerprint?: string): Promise<LogVerdict[]> {
  const { rows } = await pool.query<{ log_id: string; origin: string; note: string }>(
    `SELECT DISTINCT ON (l.log_id) l.log_id, l.origin, c.note
     FROM log l JOIN checkpoint c USING (log_id) ORDER BY l.log_id, c.size DESC`,
  );
  const { publicKey } = await archive.keyInForce();
  const verdicts: LogVerdict[] = [];
  for (const { log_id, origin, note } of rows) {
    const entries = await pool.query<{ bytes: Buffer }>(
      'SELECT bytes FROM entry WHERE log_id = $1 ORDER BY seq',
      [log_id],
    );
    const bytes = entries.rows.map((row) => new Uint8Array(row.bytes));
    const key = formatVerifierKey(verifierKey(origin, publicKey));
    verdicts.push(verifyLog(bytes, note, { key, ...(fingerprint && { fingerprint }) }));
  }
  return verdicts;
}

const inForce = async () => (await archive.keyInForce()).fingerprint;
const results = (verdicts: LogVerdict[]) => [...new Set(verdicts.map(({ result }) => result))];
const typesOf = async (logId: string) =>
  (
    await pool.query<{ type: string }>('SELECT type FROM entry WHERE log_id = $1 ORDER BY seq', [
      logId,
    ])
  ).rows.map(({ type }) => type);
const siteLog = async () =>
  (await pool.query<{ log_id: string }>(`SELECT log_id FROM log WHERE site_id IS NOT NULL`))
    .rows[0]!.log_id;

describe('an archive that is opened for the first time', () => {
  it('announces a successor as the first entry of each log', async () => {
    expect((await typesOf('studio'))[0]).toBe('key.announce');
    expect((await typesOf(await siteLog()))[0]).toBe('key.announce');
    const { rows } = await pool.query<{ actor_id: string }>(
      `SELECT actor_id FROM entry WHERE log_id = 'studio' AND seq = 0`,
    );
    expect(rows[0]!.actor_id).toBe(PROGRAM_ACTOR);
    expect(results(await checked(await inForce()))).toEqual(['verified-against-fingerprint']);
  });

  it('keeps the words for the sheet where only its owner reads them, and seals to the same sheet', async () => {
    const sheet = (await keys.sheetToPrint())!;
    expect(statSync(join(home, 'recovery-sheet.json')).mode & 0o777).toBe(0o600);
    const { signing, sealing } = recoveryKeysFromWords(sheet.words);
    const { rows } = await pool.query<{ successor: string }>(
      `SELECT successor FROM key_event WHERE log_id = 'studio'`,
    );
    expect(rows).toEqual([{ successor: sheet.fingerprint }]);
    expect(sheet.successor.publicKey).toEqual(publicBytesOf(signing));
    const announced = (await sealingKeyOf(new Tx(pool)))!;
    expect(publicBytesOf(announced)).toEqual(publicBytesOf(sealing));
    keys.destroyWords();
    expect(await keys.sheetToPrint()).toBeUndefined();
  });

  it('announces once, however often and by however many it is opened', async () => {
    await Promise.all([opened(), opened(), opened()]);
    expect((await typesOf('studio')).filter((type) => type === 'key.announce')).toHaveLength(1);
  });

  it('that was written before there were announcements gets them at its next opening', async () => {
    const other = await createTestDatabase();
    const elsewhere = createPool(other.applicationUrl);
    try {
      const bare = await Archive.open({
        pool: elsewhere,
        objects,
        signer: KeyFile.open(keyFile).current,
        jobs: { send: () => Promise.resolve() },
      });
      const person = { displayName: 'Head', login: 'head', password: 'a long pass phrase' };
      await bare.run(startArchive, person, asking);
      const site = { code: 'SLM', name: 'Sallowmere Chapel', scheme: 'church' };
      await bare.run(addSite, site, asking);
      const later = new ArchiveKeys({ pool: elsewhere, objects, keyFile, home });
      await later.announceFirst(KeyFile.open(keyFile));
      const { rows } = await elsewhere.query<{ seq: string }>(
        `SELECT seq FROM entry WHERE type = 'key.announce'`,
      );
      expect(rows.map(({ seq }) => Number(seq))).toEqual([1, 1]);
      await bare.close();
    } finally {
      await elsewhere.end();
      await other.drop();
    }
  });
});

describe('a rotation', () => {
  it('is written in every log, keeps the old key beside, and verifies against both', async () => {
    const first = await inForce();
    const report = await keys.rotate();
    expect(report).toMatchObject({ from: first, logs: 2, unvouched: 0 });
    expect(await inForce()).toBe(report.to);
    expect(KeyFile.open(keyFile).current.fingerprint).toBe(report.to);
    const kept = join(home, `archive-key.${first}.pem`);
    expect(statSync(kept).mode & 0o777).toBe(0o600);
    await work();
    for (const fingerprint of [first, report.to]) {
      expect(results(await checked(fingerprint))).toEqual(['verified-against-fingerprint']);
    }
    // the sheet stays good: it is announced anew by the key that follows
    expect(await keys.sheetToPrint()).toBeDefined();
  });

  it('is followed by a server that was running', async () => {
    await keys.rotate();
    await work();
    await keys.rotate();
    await work();
    expect(results(await checked())).toEqual(['consistent-key-unknown']);
  });

  it('is carried into the log of a site that is begun later', async () => {
    const first = await inForce();
    await keys.rotate();
    await archive.run(addSite, { code: 'OTH', name: 'Another', scheme: 'church' }, asking);
    const verdicts = await checked(first);
    expect(verdicts).toHaveLength(3);
    expect(results(verdicts)).toEqual(['verified-against-fingerprint']);
  });

  it('gives the same rows again in a rebuild', async () => {
    await keys.rotate();
    const rows = () => pool.query('SELECT * FROM key_event ORDER BY log_id, seq');
    const before = (await rows()).rows;
    expect(before).toHaveLength(6);
    await rebuildProjections(pool, objects);
    expect((await rows()).rows).toEqual(before);
  });

  it('leaves a server without the new key unable to write, until the key is put there', async () => {
    const elsewhere = join(home, 'elsewhere.pem');
    writeFileSync(elsewhere, readFileSync(keyFile));
    const far = await Archive.open({
      pool,
      objects,
      signer: KeyFile.open(elsewhere),
      jobs: { send: () => Promise.reject(new Error('no queue here')) },
    });
    await work(far);
    const { to } = await keys.rotate();
    const before = await typesOf(await siteLog());
    await expect(work(far)).rejects.toMatchObject({
      code: 'key-not-in-force',
      members: { inForce: to },
    });
    expect(await typesOf(await siteLog())).toEqual(before);
    expect((await far.keyInForce()).fingerprint).toBe(to);
    writeFileSync(elsewhere, readFileSync(keyFile));
    await work(far);
    await far.close();
  });

  it('and commands at the same moment take turns', async () => {
    const done = await Promise.allSettled([
      keys.rotate(),
      ...Array.from({ length: 6 }, (_, i) =>
        archive.run(addSite, { code: `S${i}`, name: `Site ${i}`, scheme: 'church' }, asking),
      ),
      keys.rotate(),
    ]);
    expect(done.filter(({ status }) => status === 'rejected')).toEqual([]);
    const verdicts = await checked(await inForce());
    expect(verdicts).toHaveLength(8);
    expect(results(verdicts)).toEqual(['verified-against-fingerprint']);
  });
});

describe('a change that is cut short', () => {
  /** Dies at the nth statement, before or after it reached the database. */
  class DyingPool implements SqlPool {
    #left: number;
    constructor(
      at: number,
      private readonly when: 'before' | 'after',
    ) {
      this.#left = at;
    }
    get hasDied() {
      return this.#left < 0;
    }
    query(): never {
      throw new Error('not used here');
    }
    async connect(): Promise<SqlPoolClient> {
      const client = await pool.connect();
      return {
        release: (error) => {
          client.release(error);
        },
        query: async (text: string | NamedStatement, values?: unknown[]) => {
          this.#left -= 1;
          if (this.#left < 0 && this.when === 'before') throw new Error('killed');
          const result = await client.query(text as string, values);
          if (this.#left < 0) throw new Error('killed');
          return result as never;
        },
      };
    }
  }

  it.each(['before', 'after'] as const)(
    'at any statement, %s the database got it, is finished or undone at the next start',
    async (when) => {
      const first = await inForce();
      const outcomes = new Set<string>();
      let current = first;
      for (let at = 0; ; at++) {
        const dying = new DyingPool(at, when);
        const cut = new ArchiveKeys({ pool: dying, objects, keyFile, home });
        const isDone = await cut.rotate().then(
          () => true,
          () => false,
        );
        const reopened = await opened();
        await work(reopened);
        await reopened.close();
        const now = await inForce();
        outcomes.add(now === current ? 'undone' : 'finished');
        current = now;
        expect(KeyFile.open(keyFile).current.fingerprint).toBe(now);
        expect(existsSync(join(home, 'archive-key.next.pem'))).toBe(false);
        if (isDone) break;
        expect(dying.hasDied).toBe(true);
      }
      expect([...outcomes].sort()).toEqual(['finished', 'undone']);
      expect(results(await checked(first))).toEqual(['verified-against-fingerprint']);
    },
  );

  it('between the logs and the file is finished at the next start, also when the old file is gone', async () => {
    const dying: SqlPool = {
      query: () => Promise.reject(new Error('not used here')),
      async connect() {
        const client = await pool.connect();
        return {
          release: (error) => {
            client.release(error);
          },
          query: async (text: string | NamedStatement, values?: unknown[]) => {
            const result = await client.query(text as string, values);
            if (text === 'COMMIT') throw new Error('killed');
            return result as never;
          },
        };
      },
    };
    const cut = new ArchiveKeys({ pool: dying, objects, keyFile, home });
    await expect(cut.rotate()).rejects.toThrow('killed');
    expect(existsSync(join(home, 'archive-key.next.pem'))).toBe(true);
    rmSync(keyFile);
    const reopened = await opened();
    await work(reopened);
    await reopened.close();
    expect(existsSync(join(home, 'archive-key.next.pem'))).toBe(false);
  });
});

it('is changed although the object store is away; the copies are told to be missing', async () => {
  const store = Object.create(objects) as FileObjectStore;
  store.putNamed = () => Promise.reject(new Error('away'));
  const failed: unknown[] = [];
  const onCopyFailed = (error: unknown) => failed.push(error);
  const { to } = await new ArchiveKeys({
    pool,
    objects: store,
    keyFile,
    home,
    onCopyFailed,
  }).rotate();
  expect(KeyFile.open(keyFile).current.fingerprint).toBe(to);
  expect(failed).toHaveLength(2);
});

describe('a lost key', () => {
  it('is replaced by the sheet’s, which every check says; a new sheet is made', async () => {
    const first = await inForce();
    const { words } = (await keys.sheetToPrint())!;
    keys.destroyWords();
    rmSync(keyFile);
    const report = await keys.recover(words);
    expect(report).toMatchObject({ from: first, logs: 2, unvouched: 0 });
    archive = await reopened();
    await work();
    for (const verdict of await checked(first)) {
      expect(verdict.result).toBe('verified-against-fingerprint');
      expect(verdict.notices[0]).toMatch(
        /^changed without the old key at entry \d+, by the key announced at entry 0$/,
      );
    }
    const next = (await keys.sheetToPrint())!;
    expect(next.words).not.toEqual(words);
    rmSync(keyFile);
    await keys.recover(next.words);
    archive = await reopened();
    await work();
    expect(results(await checked(first))).toEqual(['verified-against-fingerprint']);
  });

  it('with a lost sheet is replaced by a key that nobody vouches for', async () => {
    const first = await inForce();
    rmSync(keyFile);
    const report = await keys.replace();
    archive = await reopened();
    await work();
    for (const verdict of await checked(first)) {
      expect(verdict.result).toBe('consistent-key-unknown');
      expect(verdict.notices[0]).toMatch(/^changed without the old key at entry \d+, and not by/);
    }
    expect(results(await checked(report.to))).toEqual(['verified-against-fingerprint']);
  });

  it('is not replaced by mistyped words, those of another sheet, or while it is there', async () => {
    const { words } = (await keys.sheetToPrint())!;
    await expect(keys.recover(words)).rejects.toThrow(/not lost.*rotate/s);
    await expect(keys.replace()).rejects.toThrow(/not lost/);
    const before = await typesOf('studio');
    rmSync(keyFile);
    await expect(keys.recover([...words.slice(1), words[0]!])).rejects.toThrow(/24 that belong/);
    await expect(keys.recover(newRecoveryWords())).rejects.toThrow(/another sheet/);
    await expect(keys.rotate()).rejects.toThrow(/admin key recover/);
    expect(await typesOf('studio')).toEqual(before);
    expect(existsSync(keyFile)).toBe(false);
  });

  it('stays lost for a server, which says what to do', async () => {
    rmSync(keyFile);
    await expect(opened()).rejects.toThrow(/missing.*admin key recover/s);
    writeFileSync(keyFile, 'no key');
    await expect(opened()).rejects.toThrow(/cannot be read.*admin key recover/s);
  });

  async function reopened(): Promise<Archive> {
    await archive.close();
    return opened();
  }
});

describe('a new sheet', () => {
  it('makes the one before void', async () => {
    const { words } = (await keys.sheetToPrint())!;
    const next = await keys.renewSheet();
    expect((await keys.sheetToPrint())!.words).toEqual(next.words);
    expect(results(await checked(await inForce()))).toEqual(['verified-against-fingerprint']);
    rmSync(keyFile);
    await expect(keys.recover(words)).rejects.toThrow(/another sheet/);
    await keys.recover(next.words);
  });
});

it('leaves nothing secret in the logs or beside the home', async () => {
  const { words } = (await keys.sheetToPrint())!;
  await keys.rotate();
  const { rows } = await pool.query<{ bytes: Buffer }>('SELECT bytes FROM entry');
  const text = rows.map(({ bytes }) => bytes.toString('utf8')).join('\n');
  expect(text).not.toContain(words.slice(0, 3).join(' '));
  expect(text).not.toContain('PRIVATE KEY');
  for (const name of readdirSync(home).filter((file) => /pem$|json$/.test(file))) {
    expect(statSync(join(home, name)).mode & 0o077).toBe(0);
  }
});
