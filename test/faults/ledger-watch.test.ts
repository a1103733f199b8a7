/**
 * The eyes of the trials, tried themselves: each fault that a trial looks for is planted once, and must
 * be found. What the watch says must come from what was planted, since it says nothing before.
 */
import { generateKeyPairSync } from 'node:crypto';
import { readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { readConfig, signerFromKey } from '#libs/archive';
import { createPool, type PgPool } from '#libs/db';
import { Frontier, leafHash, signCheckpoint } from '#libs/ledger';
import { type ObjectStore, openObjectStore } from '#libs/objects';
import { type RunningServer, startServer } from '../../apps/server/src/start-server.js';
import { addSite, type Client, firstKeeper, testEnvironment } from '../support/media-archive.js';
import { rewriteHistory } from '../support/rewrite-history.js';
import { madeAct, type Place, type Told } from './trials/act.js';
import { chance } from './trials/chance.js';
import { type Faults, LedgerWatch } from './trials/ledger-watch.js';

const LEDGER = ['entry', 'log', 'checkpoint'] as const;
const NONE: Faults = { lost: [], doubled: [], broken: [], inconsistent: [] };

let env: Awaited<ReturnType<typeof testEnvironment>>;
let server: RunningServer;
let pool: PgPool;
let owner: PgPool;
let objects: ObjectStore;
let keeper: Client;
let place: Place;
let publicKeys: Uint8Array[];
let told: Told[];
/** a checkpoint that a reader got once everything below stood */
let note: string;

beforeAll(async () => {
  env = await testEnvironment();
  const config = readConfig(env.env);
  server = await startServer(config);
  pool = createPool(config.databaseUrl, { max: 2 });
  owner = createPool(env.ownerUrl, { max: 1 });
  objects = await openObjectStore(config.objects);
  keeper = await firstKeeper(server.url);
  const { siteId } = await addSite(keeper);
  const { body } = await keeper.json<{ panelId: string }>('GET', '/v1/marks/SLM.wI.1a');
  place = { siteId, panelIds: [body.panelId], extraction: { path: '', body: {} } };
  const logs = await keeper.json<{ verifierKey: { publicKey: string } }>('GET', '/v1/logs');
  publicKeys = [new Uint8Array(Buffer.from(logs.body.verifierKey.publicKey, 'base64'))];
  const kinds = ['document', 'upload', 'dossier', 'alias', 'finding', 'alias'] as const;
  told = kinds.map((kind, i) => madeAct(kind, `tok-planted-${i}`, place, chance(i)));
  for (const act of told) await act.again(keeper);
  note = await (await keeper.fetch(`/v1/logs/${siteId}/checkpoint`)).text();
}, 120_000);

afterAll(async () => {
  await server.close();
  await Promise.all([pool.end(), owner.end()]);
  await env.drop();
});

/** What somebody sees who comes now, with the checkpoint in hand. */
async function seen(acts: readonly Told[] = told, notes: readonly string[] = [note]) {
  const watch = new LedgerWatch();
  for (const one of notes) watch.handedOut(place.siteId, one);
  return watch.check({ pool, objects, publicKeys }, acts);
}

/** The second look of a reader who has read everything. */
async function seenBefore(): Promise<() => Promise<Faults>> {
  const watch = new LedgerWatch();
  const archive = { pool, objects, publicKeys };
  await watch.check(archive, told);
  return () => watch.check(archive, []);
}

/** Changes the ledger as its owner could, looks, and puts everything back. */
async function planted(change: () => Promise<unknown>, look: () => Promise<Faults>) {
  for (const table of LEDGER) {
    await owner.query(`ALTER TABLE ${table} DISABLE TRIGGER USER`);
    await owner.query(`CREATE TABLE kept_${table} AS SELECT * FROM ${table}`);
  }
  try {
    await change();
    return await look();
  } finally {
    for (const table of LEDGER) {
      await owner.query(`ALTER TABLE ${table} DISABLE TRIGGER USER`);
      await owner.query(`DELETE FROM ${table}`);
      await owner.query(`INSERT INTO ${table} SELECT * FROM kept_${table}`);
      await owner.query(`DROP TABLE kept_${table}`);
      await owner.query(`ALTER TABLE ${table} ENABLE TRIGGER USER`);
    }
  }
}

const entryOf = (i: number) => told[i]!.entry!.seq;

/** Takes the newest entries off and makes the head fit what is left, as a disk that forgot would. */
async function rollBackTo(size: number): Promise<void> {
  const { rows } = await owner.query<{ bytes: Buffer }>(
    'SELECT bytes FROM entry WHERE log_id = $1 AND seq < $2 ORDER BY seq',
    [place.siteId, size],
  );
  const frontier = new Frontier();
  for (const { bytes } of rows) frontier.append(leafHash(new Uint8Array(bytes)));
  await owner.query('DELETE FROM entry WHERE log_id = $1 AND seq >= $2', [place.siteId, size]);
  await owner.query('UPDATE log SET size = $2, root_hash = $3 WHERE log_id = $1', [
    place.siteId,
    size,
    Buffer.from(frontier.root()),
  ]);
}

const objectPath = (digest: string) => {
  const hex = digest.slice('sha256:'.length);
  return join(env.home, 'objects', 'sha256', hex.slice(0, 2), hex.slice(2, 4), hex);
};

it('a sound archive: nothing to say, also when looked at a second time', async () => {
  expect(await seen()).toEqual(NONE);
  const watch = new LedgerWatch();
  watch.handedOut(place.siteId, note);
  const archive = { pool, objects, publicKeys };
  expect(await watch.check(archive, told)).toEqual(NONE);
  expect(await watch.check(archive, told, true)).toEqual(NONE);
  expect(watch.objectsRead).toBeGreaterThanOrEqual(4); // two objects, each of them twice
});

it('the newest entries dropped, head and all: what was answered is lost, the checkpoint does not hold', async () => {
  const faults = await planted(() => rollBackTo(entryOf(4)), seen);
  expect(faults.lost).toEqual([
    'finding tok-planted-4: in no entry',
    'alias tok-planted-5: in no entry',
  ]);
  expect(faults.inconsistent).toEqual([
    expect.stringMatching(/the checkpoint handed out at size \d+ has another root/),
  ]);
});

it('rolled back under a reader who had read further', async () => {
  const faults = await planted(() => rollBackTo(entryOf(5)), await seenBefore());
  expect(faults.inconsistent).toEqual([expect.stringMatching(/\d+ entries read, head says \d+/)]);
});

it('an entry taken out of the middle', async () => {
  const faults = await planted(
    () =>
      owner.query('DELETE FROM entry WHERE seq = $1 AND log_id = $2', [entryOf(3), place.siteId]),
    seen,
  );
  expect(faults.lost).toEqual(['alias tok-planted-3: in no entry']);
  expect(faults.inconsistent).toContainEqual(`${place.siteId}: entry ${entryOf(3)} is missing`);
});

it('an entry changed, the log hashed and signed anew by the archive’s own key', async () => {
  const keyFile = env.env.MULLION_KEY_FILE;
  const change = () => rewriteHistory(env.ownerUrl, { logId: place.siteId, seq: 1, keyFile });
  // with nothing kept from before it fits itself
  expect(await planted(change, () => seen([], []))).toMatchObject({
    inconsistent: [expect.stringMatching(/recorded before the one before/)],
  });
  expect((await planted(change, () => seen([]))).inconsistent).toContainEqual(
    expect.stringMatching(/the checkpoint handed out at size \d+ has another root/),
  );
});

it('a log that is gone', async () => {
  const gone = () => owner.query('DELETE FROM log WHERE log_id = $1', [place.siteId]);
  const faults = await planted(gone, await seenBefore());
  expect(faults.inconsistent).toEqual([`${place.siteId}: is gone`]);
});

it('a checkpoint that no key of the archive signed', async () => {
  const signer = signerFromKey(generateKeyPairSync('ed25519').privateKey);
  const origin = note.slice(0, note.indexOf('\n'));
  const forged = await signCheckpoint({ origin, size: 0, root: new Frontier().root() }, signer);
  expect((await seen(told, [forged])).inconsistent).toEqual([
    `${place.siteId}: a checkpoint of no key in force`,
  ]);
});

it.each([
  [
    'turned over in one bit',
    (path: string, bytes: Buffer) => {
      writeFileSync(
        path,
        bytes.map((byte, i) => (i === 1000 ? byte ^ 1 : byte)),
      );
    },
  ],
  [
    'cut short',
    (path: string, bytes: Buffer) => {
      writeFileSync(path, bytes.subarray(0, -1));
    },
  ],
  [
    'gone',
    (path: string) => {
      rmSync(path);
    },
  ],
] as const)('an object %s', async (_how, spoil) => {
  const digest = told[0]!.digest!;
  const path = objectPath(digest);
  const bytes = readFileSync(path);
  rmSync(path); // a file that may not be written to is replaced
  writeFileSync(path, bytes);
  spoil(path, bytes);
  try {
    expect((await seen()).broken).toEqual([expect.stringContaining(digest)]);
  } finally {
    rmSync(path, { force: true });
    writeFileSync(path, bytes, { mode: 0o444 });
  }
});

it('an answer that names another entry, other bytes, another day', async () => {
  const [document, upload, dossier, alias, finding] = told as [Told, Told, Told, Told, Told];
  const acts: Told[] = [
    { ...document, digest: upload.digest },
    { ...alias, entry: { ...alias.entry!, seq: alias.entry!.seq + 1 } },
    { ...finding, happened: '1999-01-01' },
    dossier,
    { ...dossier, token: 'tok-planted-99' },
  ];
  expect((await seen(acts)).lost).toEqual([
    expect.stringMatching(/^document tok-planted-0: entry \d+ names other bytes than were sent$/),
    expect.stringMatching(/^alias tok-planted-3: answered as entry \d+, stands in \d+$/),
    expect.stringMatching(/^finding tok-planted-4: 1999-01-01 was claimed, .* is kept$/),
    'dossier tok-planted-99: answered with the entry of tok-planted-2',
  ]);
});

it('what was never answered is no loss', async () => {
  const never = madeAct('alias', 'tok-planted-77', place, chance(7));
  expect(await seen([...told, never])).toEqual(NONE);
});

// last, since it leaves what it planted
it('the same asked twice under two keys: doubled, with words and without', async () => {
  for (const i of [2, 3, 4]) {
    const twin = madeAct(told[i]!.kind, told[i]!.token, place, chance(i));
    await twin.again(clientWithOtherKey() as Client);
  }
  const faults = await seen();
  expect(faults.doubled).toEqual([
    expect.stringMatching(/^alias tok-planted-3: entries \d+, \d+$/),
    expect.stringMatching(/^finding tok-planted-4: entries \d+, \d+$/),
    expect.stringMatching(/^dossier: entry \S+ was asked for by nobody$/),
  ]);
});

/** Asks as somebody would whose first key was forgotten. */
function clientWithOtherKey(): Pick<Client, 'fetch'> {
  return {
    fetch: (path, init) => {
      const headers = new Headers(init?.headers);
      headers.set('Idempotency-Key', `other-${headers.get('Idempotency-Key')!}`);
      return keeper.fetch(path, { ...init, headers });
    },
  };
}
