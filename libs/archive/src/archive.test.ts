import { createHash, createPrivateKey } from 'node:crypto';
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { createPool, createTestDatabase, type PgPool, type TestDatabase } from '#libs/db';
import { parseEntry } from '#libs/ledger';
import { FileObjectStore } from '#libs/objects';
import { Archive } from './archive.js';
import { addPerson, addSite, describeSite, startArchive } from './commands/index.js';
import { uuidV7 } from './id.js';
import { forgetOldAnswers } from './idempotency.js';
import { signerFromKey } from './signer.js';

// RFC 8032 section 7.1, test 1: a published secret, so that nobody takes it for a real one.
const KEY = createPrivateKey({
  key: Buffer.concat([
    Buffer.from('302e020100300506032b657004220420', 'hex'),
    Buffer.from('9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60', 'hex'),
  ]),
  format: 'der',
  type: 'pkcs8',
});

let database: TestDatabase;
let pool: PgPool;
let folder: string;
let archive: Archive;
let now = Date.parse('2026-11-25T08:00:00.000Z');
const keeper = uuidV7(now);

beforeAll(async () => {
  database = await createTestDatabase();
  pool = createPool(database.applicationUrl, { max: 4 });
  folder = await mkdtemp(join(tmpdir(), 'archive-'));
  archive = await Archive.open({
    pool,
    objects: await FileObjectStore.open(folder),
    signer: signerFromKey(KEY),
    jobs: { send: () => Promise.reject(new Error('no queue here')) },
    clock: () => now,
  });
  await archive.run(
    startArchive,
    { displayName: 'Head', login: 'head', password: 'a long pass phrase' },
    { actorId: keeper },
  );
}, 60_000);
afterAll(async () => {
  await archive.close();
  await pool.end();
  await database.drop();
  await rm(folder, { recursive: true, force: true });
});

const site = (code: string) => ({ code, name: `Chapel ${code}`, scheme: 'church' });

describe('Archive', () => {
  it('keeps its archive id when it is opened again', async () => {
    const again = await Archive.open({
      pool,
      objects: archive.objects,
      signer: archive.signer,
      jobs: { send: () => Promise.resolve() },
    });
    expect(again.studioOrigin).toBe(archive.studioOrigin);
    // RFC 8032 section 7.1, test 1: the public key of that secret.
    expect(Buffer.from(archive.signer.publicKey).toString('hex')).toBe(
      'd75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a',
    );
  });

  it('holds the time when the clock jumps back, and says so in the entry', async () => {
    const { answer } = await archive.run(addSite, site('CLK'), { actorId: keeper });
    const before = new Date(now).toISOString();
    now -= 3_600_000;
    const revised = await archive.run(
      describeSite,
      { siteId: answer.siteId, name: 'Chapel', place: null },
      { actorId: keeper, ifMatch: String(answer.version) },
    );
    const { rows } = await pool.query<{ bytes: Buffer }>(
      'SELECT bytes FROM entry WHERE log_id = $1 AND seq = $2',
      [answer.siteId, revised.entry.seq],
    );
    const entry = parseEntry(new Uint8Array(rows[0]!.bytes));
    expect(entry.recordedAt).toBe(before);
    expect(entry.happenedNote).toContain(new Date(now).toISOString());
    now += 3_600_000;
  });

  it('refers from each entry of a site to the leaf of the studio’s log that gave its author the role', async () => {
    const { answer } = await archive.run(addSite, site('REF'), { actorId: keeper });
    const { answer: person } = await archive.run(
      addPerson,
      {
        displayName: 'Surveyor',
        login: 'surveyor',
        roles: [{ siteId: answer.siteId, role: 'keeper' }],
      },
      { actorId: keeper },
    );
    const described = await archive.run(
      describeSite,
      { siteId: answer.siteId, name: 'Chapel', place: null },
      { actorId: person.personId, ifMatch: String(answer.version) },
    );
    const leafOf = async (logId: string, seq: number) => {
      const { rows } = await pool.query<{ bytes: Buffer }>(
        'SELECT bytes FROM entry WHERE log_id = $1 AND seq = $2',
        [logId, seq],
      );
      return rows[0]!.bytes;
    };
    const refs = async (seq: number) =>
      parseEntry(new Uint8Array(await leafOf(answer.siteId, seq))).refs;
    // RFC 6962 section 2.1: a leaf hash is SHA-256 over a zero byte and the entry.
    const hashed = async (seq: number) =>
      createHash('sha256')
        .update(Buffer.concat([Buffer.from([0]), await leafOf('studio', seq)]))
        .digest('hex');
    const origin = archive.studioOrigin;
    expect(await refs(0)).toEqual([{ origin, index: 0, leafHash: await hashed(0) }]);
    const { seq } = person.entry;
    expect(await refs(described.entry.seq)).toEqual([
      { origin, index: seq, leafHash: await hashed(seq) },
    ]);
  });

  it('writes nothing of a command that fails after its entry was appended', async () => {
    const counted = async () =>
      (await pool.query<{ n: string }>('SELECT count(*) AS n FROM entry')).rows[0]!.n;
    const before = await counted();
    const broken = {
      ...addSite,
      project: () => Promise.reject(new Error('the projection broke')),
    };
    const [bad, good] = await Promise.allSettled([
      archive.run(broken, site('BAD'), { actorId: keeper }),
      archive.run(addSite, site('GOOD'), { actorId: keeper }),
    ]);
    expect(bad).toMatchObject({ status: 'rejected' });
    expect(good.status).toBe('fulfilled');
    expect(Number(await counted())).toBe(Number(before) + 1);
    const { rows } = await pool.query(`SELECT 1 FROM log WHERE origin LIKE '%/site/bad'`);
    expect(rows).toEqual([]);
  });

  it('answers 503 and stays alive when the database cannot be reached', async () => {
    const dead = createPool('postgresql://nobody@127.0.0.1:1/none', { max: 1 });
    const cut = await Archive.open({
      pool: {
        query: pool.query.bind(pool),
        connect: () => dead.connect(),
      },
      objects: archive.objects,
      signer: archive.signer,
      jobs: { send: () => Promise.resolve() },
    });
    await expect(cut.run(addSite, site('CUT'), { actorId: keeper })).rejects.toMatchObject({
      code: 'archive-unavailable',
    });
    await dead.end();
    await expect(archive.run(addSite, site('CUT'), { actorId: keeper })).resolves.toMatchObject({
      status: 201,
    });
  });

  it('forgets after a year what it answered to a key, and not before', async () => {
    const counted = async () =>
      Number((await pool.query<{ n: string }>('SELECT count(*) AS n FROM idempotency')).rows[0]!.n);
    const before = await counted();
    await archive.run(addSite, site('KEPT'), { actorId: keeper, idempotencyKey: 'phone-1' });
    const year = 365 * 24 * 60 * 60 * 1000;
    expect(await forgetOldAnswers(archive.reads, new Date(now + year))).toBe(0);
    await expect(
      archive.run(addSite, site('KEPT'), { actorId: keeper, idempotencyKey: 'phone-1' }),
    ).resolves.toMatchObject({ replayed: true });
    const later = new Date(now + year + 2 * 24 * 60 * 60 * 1000);
    expect(await forgetOldAnswers(archive.reads, later)).toBe(before + 1);
    expect(await counted()).toBe(0);
  });
});
