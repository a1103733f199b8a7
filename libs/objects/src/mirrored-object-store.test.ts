import { randomBytes } from 'node:crypto';
import { chmod, mkdtemp, readFile, rename, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { Readable } from 'node:stream';
import { buffer } from 'node:stream/consumers';
import { expectSame } from './expect-same.js';
import { FileObjectStore } from './file-object-store.js';
import { compareStores, fillReplica } from './fill-replica.js';
import { LateStore } from './late-store.js';
import { MirroredObjectStore } from './mirrored-object-store.js';
import { ObjectStoreError } from './object-store.js';
import { describeObjectStore } from './objects.contract.js';
import { openArchiveStore } from './open-archive-store.js';
import type { Owed } from './owed.js';

const root = await mkdtemp(join(tmpdir(), 'mirror-'));
afterAll(() => rm(root, { recursive: true }));

describeObjectStore('two folders', () =>
  openArchiveStore({
    objects: `file:${root}/contract-a`,
    objectsReplica: `file:${root}/contract-b`,
    s3: undefined,
    s3Replica: undefined,
  }),
);

let count = 0;

/** A pair whose replica can be taken away and given back. */
async function pair() {
  const name = join(root, `pair-${count++}`);
  const primary = await FileObjectStore.open(`${name}-a`);
  const replica = await FileObjectStore.open(`${name}-b`);
  const away = { is: false };
  const behind: Owed[] = [];
  const healed: string[] = [];
  const late = new LateStore(() => Promise.resolve(replica));
  const store = new MirroredObjectStore(
    primary,
    new Proxy(late, {
      get(target, property) {
        if (away.is && property !== 'then') {
          return () => {
            throw new ObjectStoreError('store-unavailable', 'the cable is out');
          };
        }
        const value = Reflect.get(target, property) as unknown;
        return typeof value === 'function' ? (value.bind(target) as unknown) : value;
      },
    }),
    {
      onBehind: (owed) => behind.push(owed),
      onHealed: (digest) => healed.push(digest),
    },
  );
  return { store, primary, replica, away, behind, healed };
}

async function damage(store: FileObjectStore, digest: string): Promise<void> {
  const path = store.path(digest);
  const bytes = await readFile(path);
  bytes[Math.floor(bytes.length / 2)]! ^= 1;
  await chmod(path, 0o600);
  await writeFile(path, bytes);
}

async function owedOf(store: MirroredObjectStore): Promise<Owed[]> {
  const all: Owed[] = [];
  for await (const owed of store.owed()) all.push(owed);
  return all;
}

describe('MirroredObjectStore', () => {
  it('writes to both in one go: bytes, streams, files and named texts', async () => {
    const { store, primary, replica, behind } = await pair();
    const small = randomBytes(100);
    const streamed = randomBytes(200_000);
    const path = join(root, 'a-file');
    const filed = randomBytes(90_000);
    await writeFile(path, filed);
    const digests = [
      (await store.put(small)).digest,
      (await store.put(Readable.from([streamed.subarray(0, 9), streamed.subarray(9)]))).digest,
      (
        await store.putFile(path, {
          digest: (await replica.put(filed)).digest,
          sizeBytes: filed.length,
        })
      ).digest,
    ];
    await store.putNamed('checkpoints/a/1', Buffer.from('text'));
    for (const one of [primary, replica]) {
      for (const [i, bytes] of [small, streamed, filed].entries()) {
        expectSame(await buffer(await one.read(digests[i]!)), bytes);
      }
      expect(Buffer.from((await one.readNamed('checkpoints/a/1'))!).toString()).toBe('text');
    }
    expect(behind).toEqual([]);
  });

  it('acknowledges a write that the replica missed only with a durable note, and settles it', async () => {
    const { store, primary, replica, away, behind } = await pair();
    away.is = true;
    const { digest } = await store.put(randomBytes(500), { retain: 'original' });
    const streamed = await store.put(Readable.from([randomBytes(700)]));
    await store.putNamed('checkpoints/a/2', Buffer.from('two'));
    expect(behind.map(({ kind }) => kind)).toEqual(['copy', 'copy', 'name']);
    // a note outlives the process: another one sees it
    const other = new MirroredObjectStore(primary, new LateStore(() => Promise.resolve(replica)));
    expect((await owedOf(other)).map(({ kind }) => kind).sort()).toEqual(['copy', 'copy', 'name']);
    expect(await store.settle()).toEqual({ settled: 0, left: 3 });
    away.is = false;
    expect(await other.settle()).toEqual({ settled: 3, left: 0 });
    expect(await replica.has(digest)).toBe(true);
    expect(await replica.has(streamed.digest)).toBe(true);
    expect(Buffer.from((await replica.readNamed('checkpoints/a/2'))!).toString()).toBe('two');
    expect(await owedOf(other)).toEqual([]);
  });

  it('acknowledges nothing when neither the replica nor the note could be written', async () => {
    const { store, primary, away } = await pair();
    away.is = true;
    const full = new ObjectStoreError('store-full', 'no room for a note');
    primary.putNamed = () => Promise.reject(full);
    await expect(store.put(randomBytes(10))).rejects.toBe(full);
  });

  it.each([
    ['damaged', damage],
    ['missing', (store: FileObjectStore, digest: string) => store.destroy(digest)],
  ])('gives and mends from the replica what is %s in the primary', async (_, harm) => {
    const { store, primary, healed } = await pair();
    const bytes = randomBytes(100_000);
    const { digest } = await store.put(bytes);
    await harm(primary, digest);
    expectSame(await buffer(await store.read(digest)), bytes);
    expect(healed).toEqual([digest]);
    expectSame(await buffer(await primary.read(digest)), bytes);
  });

  it('ends a large damaged stream before its last bytes and has it mended for the next reader', async () => {
    const { store, primary, healed } = await pair();
    const bytes = randomBytes(9 * 1024 * 1024);
    const { digest } = await store.put(bytes);
    await damage(primary, digest);
    let seen = 0;
    const reading = (async () => {
      for await (const chunk of await store.read(digest)) seen += (chunk as Buffer).length;
    })();
    await expect(reading).rejects.toMatchObject({ fault: 'object-damaged' });
    expect(seen).toBeLessThan(bytes.length);
    while (healed.length === 0) await new Promise((resolve) => setTimeout(resolve, 10));
    expectSame(await buffer(await store.read(digest)), bytes);
  });

  it('says what is lost when both are damaged', async () => {
    const { store, primary, replica } = await pair();
    const { digest } = await store.put(randomBytes(1000));
    await damage(primary, digest);
    await damage(replica, digest);
    await expect(store.read(digest)).rejects.toMatchObject({ fault: 'object-damaged' });
  });

  it('destroys in both, and never copies back what the replica could not be told of yet', async () => {
    const { store, replica, away } = await pair();
    const { digest } = await store.put(randomBytes(1000));
    away.is = true;
    await store.destroy(digest);
    away.is = false;
    expect(await replica.has(digest)).toBe(true);
    expect(await store.has(digest)).toBe(false);
    await expect(store.read(digest)).rejects.toMatchObject({ fault: 'object-missing' });
    expect(await store.settle()).toEqual({ settled: 1, left: 0 });
    expect(await replica.has(digest)).toBe(false);
  });

  it('tells and copies what a replica lacks that was named later', async () => {
    const { store, primary, replica } = await pair();
    const old = await primary.put(randomBytes(800));
    await primary.putNamed('checkpoints/a/1', Buffer.from('one'));
    const extra = await replica.put(randomBytes(30));
    await store.put(randomBytes(40));
    expect(await compareStores(store)).toEqual({
      lacking: { count: 1, sizeBytes: 800, namedTexts: 1 },
      extra: { count: 1, sizeBytes: 30 },
    });
    await fillReplica(store, () => Promise.resolve('original'));
    expect(await replica.has(old.digest)).toBe(true);
    expect(await replica.has(extra.digest)).toBe(true);
    expect((await compareStores(store)).lacking).toEqual({ count: 0, sizeBytes: 0, namedTexts: 0 });
  });
});

describe('a replica on a disk that is not mounted', () => {
  it('is not taken for an empty one', async () => {
    const places = {
      objects: `file:${root}/mounted-a`,
      objectsReplica: `file:${root}/mounted-b`,
      s3: undefined,
      s3Replica: undefined,
    };
    await (await openArchiveStore(places)).put(randomBytes(10));
    await rename(`${root}/mounted-b`, `${root}/unplugged`);
    const behind: string[] = [];
    const without = (await openArchiveStore(places, {
      onBehind: (_, error) => behind.push((error as Error).message),
    })) as MirroredObjectStore;
    const { digest } = await without.put(randomBytes(20));
    expect(behind).toHaveLength(1);
    expect(behind[0]).toContain('is the disk mounted');
    await expect(readFile(`${root}/mounted-b/named/pair/replica`)).rejects.toThrow('ENOENT');
    await rename(`${root}/unplugged`, `${root}/mounted-b`);
    expect(await without.settle()).toEqual({ settled: 1, left: 0 });
    expect(await (await FileObjectStore.open(`${root}/mounted-b`)).has(digest)).toBe(true);
  });

  it('refuses the primary as its own replica', async () => {
    const objects = `file:${root}/alone`;
    await expect(
      openArchiveStore({ objects, objectsReplica: objects, s3: undefined, s3Replica: undefined }),
    ).rejects.toMatchObject({ fault: 'locator-invalid' });
  });
});
