import { randomBytes } from 'node:crypto';
import { chmod, readFile, rm, utimes, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import sharp from 'sharp';
import {
  Archive,
  type MediaAnswer,
  rebuildProjections,
  type ScrubOutcome,
  scrub,
  signerFromPem,
  sweep,
  Tx,
  troubleInWords,
} from '#libs/archive';
import { FileObjectStore, MirroredObjectStore, openArchiveStore } from '#libs/objects';
import { type ApiArchive, startApiArchive } from '../support/api-archive.js';
import { projectionDump } from '../support/projection-dump.js';

const DAY_MS = 24 * 60 * 60 * 1000;

let api: ApiArchive;
let archive: Archive;
let store: MirroredObjectStore;
let primary: FileObjectStore;
let replica: FileObjectStore;
let picture: MediaAnswer;
let placeOf: (which: 'primary' | 'replica') => string;

beforeAll(async () => {
  api = await startApiArchive();
  const replicaFolder = join(api.config.home, 'second-disk');
  const config = { ...api.config, objectsReplica: `file:${replicaFolder}` };
  store = (await openArchiveStore(config)) as MirroredObjectStore;
  primary = await FileObjectStore.open(api.config.objects.slice('file:'.length));
  await store.put(Buffer.from('begins the replica'));
  replica = await FileObjectStore.open(replicaFolder);
  archive = await Archive.open({
    pool: api.pool,
    objects: store,
    signer: signerFromPem(await readFile(api.config.keyFile)),
    jobs: { send: () => Promise.reject(new Error('no job is sent here')) },
  });
  const { siteId } = await api.site('SCR');
  const raw = { width: 40, height: 30, channels: 3 as const };
  const bytes = await sharp(randomBytes(3600), { raw }).png().toBuffer();
  const taken = await fetch(
    `${api.url}/v1/sites/${siteId}/media?kind=photograph&fileName=crack.png&subjects=wI.1a`,
    {
      method: 'PUT',
      headers: { Cookie: api.cookie, 'Content-Type': 'image/png', 'Idempotency-Key': 'p' },
      body: new Uint8Array(bytes),
    },
  );
  picture = (await taken.json()) as MediaAnswer;
  placeOf = (which) => (which === 'primary' ? primary : replica).path(picture.digest);
}, 120_000);
afterAll(async () => {
  await archive.close();
  await api.close();
});

async function ended(ask: Parameters<typeof scrub>[1]) {
  const outcome: ScrubOutcome = await scrub(archive, ask);
  if (outcome.state !== 'ended') throw new Error(`the scrub is ${outcome.state}`);
  return outcome;
}

async function flipBit(path: string): Promise<void> {
  const bytes = await readFile(path);
  bytes[Math.floor(bytes.length / 2)]! ^= 4;
  await chmod(path, 0o600);
  await writeFile(path, bytes);
}

describe('scrub', () => {
  it('tells what the replica lacks by the mark of what it shows, and fills it', async () => {
    const told = await ended({ isMending: false });
    const lacking = told.found.troubles.find(({ what }) => what === picture.digest)!;
    expect(lacking).toMatchObject({
      store: 'replica',
      state: 'missing',
      mendedFrom: null,
      subjects: ['SCR.wI.1a'],
      fileName: 'crack.png',
      entries: [{ type: 'media.attach' }],
    });
    expect(troubleInWords(lacking)).toContain('crack.png of SCR.wI.1a');
    expect(await replica.has(picture.digest)).toBe(false);
    const mended = await ended({ isMending: true });
    expect(mended.row.troubles).toBeGreaterThan(0);
    expect(mended.row.mended).toBe(mended.row.troubles);
    expect(await replica.has(picture.digest)).toBe(true);
    expect((await ended({ isMending: false })).row).toMatchObject({ troubles: 0 });
  });

  it.each([
    ['primary', 'damaged', flipBit],
    ['replica', 'damaged', flipBit],
    ['primary', 'missing', (path: string) => rm(path)],
  ] as const)('finds and mends what is in the %s %s', async (which, state, harm) => {
    const whole = await readFile(placeOf(which));
    await harm(placeOf(which));
    const { found, row } = await ended({ isMending: true });
    expect(found.troubles).toMatchObject([
      { store: which, state, mendedFrom: which === 'primary' ? 'replica' : 'primary' },
    ]);
    expect(row).toMatchObject({ troubles: 1, mended: 1, stores: ['primary', 'replica'] });
    expect(Buffer.compare(await readFile(placeOf(which)), whole)).toBe(0);
  });

  it('says so when an object is lost in both', async () => {
    const whole = await readFile(placeOf('primary'));
    await flipBit(placeOf('primary'));
    await rm(placeOf('replica'));
    const { row, found } = await ended({ isMending: true });
    expect(row).toMatchObject({ troubles: 2, mended: 0 });
    expect(found.troubles.map(({ state }) => state)).toEqual(['damaged', 'missing']);
    await primary.put(whole);
    await replica.put(whole);
  });

  it('finds a copy of a checkpoint that is another than the database says', async () => {
    const { name } = (await new Tx(api.pool).first<{ name: string }>(
      "SELECT 'checkpoints/studio/' || max(size) AS name FROM checkpoint WHERE log_id = 'studio'",
    ))!;
    // the copy follows the commit
    let text: Uint8Array | undefined;
    while (text === undefined) text = await primary.readNamed(name);
    await primary.putNamed(
      name,
      Buffer.from(
        Buffer.from(text)
          .toString()
          .replace(/\n\d+\n/, '\n999\n'),
      ),
    );
    const { found } = await ended({ isMending: true });
    expect(found.troubles).toMatchObject([
      { what: name, store: 'primary', state: 'other-text', mendedFrom: null },
    ]);
    await primary.putNamed(name, text);
  });

  it('stops and goes on where it stood, and only one is at it at a time', async () => {
    const paused = await scrub(archive, { isMending: false, maxMs: -1 });
    expect(paused).toMatchObject({ state: 'paused', found: { objects: 0 } });
    let other: ScrubOutcome | undefined;
    const stopping = new AbortController();
    const slow = scrub(archive, { isMending: false, bytesPerS: 1, signal: stopping.signal });
    while (other?.state !== 'busy') other = await scrub(archive, { isMending: false, maxMs: -1 });
    stopping.abort();
    // between two objects it pauses, within one it is broken off
    const stopped = await slow.then(
      ({ state }) => state,
      (error: unknown) => String(error),
    );
    expect(stopped).toMatch(/^paused$|abort/);
    const last = await ended({ isMending: false });
    expect(last.row.troubles).toBe(0);
  });

  it('stands in the studio’s log and is made again by a rebuild', async () => {
    const { row } = await ended({ isMending: false });
    const report: unknown = JSON.parse(
      Buffer.from(await store.readRange(row.report, 0, await store.sizeOf(row.report))).toString(),
    );
    expect(report).toMatchObject({ format: 'mullion-scrub-report', troubles: 0 });
    const before = await projectionDump(api.pool);
    await rebuildProjections(api.pool, store);
    expect(await projectionDump(api.pool)).toEqual(before);
  });
});

describe('sweep', () => {
  const ask = { olderThanMs: 7 * DAY_MS, remove: true };
  const later = (days: number) => () => Date.now() + days * DAY_MS;

  async function orphan(): Promise<string> {
    const { digest } = await primary.put(randomBytes(300));
    const old = new Date(Date.now() - 30 * DAY_MS);
    await utimes(primary.path(digest), old, old);
    return digest;
  }

  async function swept(more: { remove?: boolean; now?: () => number } = {}) {
    const [first] = await sweep(new Tx(api.pool), store, { ...ask, ...more });
    return {
      setAside: first!.setAside.map(({ digest }) => digest),
      discarded: first!.discarded.map(({ digest }) => digest),
      putBack: first!.putBack.map(({ digest }) => digest),
      announced: first!.announced.map(({ digest }) => digest),
    };
  }

  it('changes nothing unless it is told to', async () => {
    const digest = await orphan();
    expect((await swept({ remove: false })).setAside).toEqual([digest]);
    expect((await swept({ remove: false })).setAside).toEqual([digest]);
    await primary.destroy(digest);
  });

  it('lets be what an entry names and what is young', async () => {
    const { digest } = await primary.put(randomBytes(200));
    const all = await swept({ remove: false, now: later(6) });
    expect(all.setAside).not.toContain(digest);
    expect((await swept({ remove: false, now: later(90) })).setAside).not.toContain(picture.digest);
    await primary.destroy(digest);
  });

  it('sets aside first and discards a sitting later', async () => {
    const digest = await orphan();
    expect((await swept()).setAside).toEqual([digest]);
    expect((await swept({ now: later(6) })).discarded).toEqual([]);
    expect((await swept({ now: later(8) })).discarded).toContain(digest);
    expect(await primary.has(digest)).toBe(false);
  });

  it('loses nothing of an upload that finds the object there while it is swept', async () => {
    const digest = await orphan();
    // the upload looked before the sweep, and was acknowledged after it
    expect(await primary.has(digest)).toBe(true);
    expect((await swept()).setAside).toEqual([digest]);
    await api.pool.query(
      "INSERT INTO stored_object (digest, size_bytes, role, first_at) VALUES ($1, 300, 'original', now())",
      [digest],
    );
    expect((await swept({ now: later(90) })).putBack).toEqual([digest]);
    expect(await primary.sizeOf(digest)).toBe(300);
  });

  it('lists what an upload announced and nobody claimed, and never sweeps it', async () => {
    const digest = await orphan();
    await api.pool.query(
      `INSERT INTO upload (upload_id, person_id, site_id, length_bytes, metadata, started_at)
       VALUES (gen_random_uuid(), gen_random_uuid(), gen_random_uuid(), 300, $1, now())`,
      [JSON.stringify({ digest })],
    );
    const found = await swept();
    expect(found.announced).toEqual([digest]);
    expect(found.setAside).toEqual([]);
    expect(await primary.has(digest)).toBe(true);
  });
});
