import { createHash, randomBytes } from 'node:crypto';
import { access, mkdtemp, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';
import { afterAll, beforeAll, describe, expect, it } from '@jest/globals';
import { expectSame } from './expect-same.js';
import type { ObjectStore } from './object-store.js';

// SHA-256 of "abc": FIPS 180-2, appendix B.1
const ABC = 'sha256:ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad';
// SHA-256 of the empty message: NIST CAVP SHA256ShortMsg, Len = 0
const EMPTY = 'sha256:e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855';

/** Long enough for a slow service to refuse in, short enough to wait for. */
const RETAIN_MS = 6_000;

/** What every adapter of the object store must do. `open` gives the adapter, the same store each time. */
export function describeObjectStore(name: string, open: () => Promise<ObjectStore>): void {
  describe(`object store on ${name}`, () => {
    let store: ObjectStore;
    let folder: string;
    beforeAll(async () => {
      store = await open();
      folder = await mkdtemp(join(tmpdir(), 'objects-'));
    });
    afterAll(() => rm(folder, { recursive: true }));

    it('names bytes by their SHA-256', async () => {
      expect(await store.put(Buffer.from('abc'))).toEqual({ digest: ABC, sizeBytes: 3 });
      expect(Buffer.from(await store.readRange(ABC, 0, 3)).toString()).toBe('abc');
    });

    it('stores a stream in any chunking as the same object', async () => {
      const bytes = randomBytes(300_001);
      const expected = `sha256:${createHash('sha256').update(bytes).digest('hex')}`;
      const stored = await store.put(chunks(bytes, 7_919));
      expect(stored).toEqual({ digest: expected, sizeBytes: bytes.length });
      expect(await store.put(bytes)).toEqual(stored);
      expectSame(await gather(await store.read(expected)), bytes);
      expect(await store.sizeOf(expected)).toBe(bytes.length);
    });

    it('stores the empty object', async () => {
      expect(await store.put(chunks(Buffer.alloc(0), 1))).toEqual({ digest: EMPTY, sizeBytes: 0 });
      expect(await store.sizeOf(EMPTY)).toBe(0);
      expect(await gather(await store.read(EMPTY))).toHaveLength(0);
    });

    it('reads a part, as stream and as bytes', async () => {
      const bytes = randomBytes(100_000);
      const { digest } = await store.put(bytes);
      expect(Buffer.from(await store.readRange(digest, 70_000, 70_010))).toEqual(
        bytes.subarray(70_000, 70_010),
      );
      expect(await gather(await store.read(digest, { start: 99_999, end: 100_000 }))).toEqual(
        bytes.subarray(99_999),
      );
    });

    it.each([
      [-1, 2],
      [2, 2],
      [0, 4],
      [3, 5],
      [0.5, 1],
    ])('refuses bytes %d to %d of three', async (start, end) => {
      const { digest } = await store.put(Buffer.from('abc'));
      await expect(store.readRange(digest, start, end)).rejects.toMatchObject({
        fault: 'range-outside',
      });
    });

    it('refuses bytes of another digest than announced and keeps nothing', async () => {
      const bytes = randomBytes(1000);
      const found = `sha256:${createHash('sha256').update(bytes).digest('hex')}`;
      await expect(store.put(bytes, { expectedDigest: ABC })).rejects.toMatchObject({
        fault: 'digest-mismatch',
      });
      await expect(store.put(chunks(bytes, 10), { expectedDigest: ABC })).rejects.toMatchObject({
        fault: 'digest-mismatch',
      });
      expect(await store.has(found)).toBe(false);
      expect((await store.put(bytes, { expectedDigest: found })).digest).toBe(found);
      expect(await store.has(found)).toBe(true);
    });

    it('keeps nothing of a stream that breaks off', async () => {
      const bytes = randomBytes(5000);
      const found = `sha256:${createHash('sha256').update(bytes).digest('hex')}`;
      await expect(store.put(breakingOff(bytes))).rejects.toThrow('cable pulled');
      expect(await store.has(found)).toBe(false);
    });

    it('says that an object is missing', async () => {
      const missing = `sha256:${'0'.repeat(64)}`;
      expect(await store.has(missing)).toBe(false);
      await expect(store.sizeOf(missing)).rejects.toMatchObject({ fault: 'object-missing' });
      await expect(store.read(missing)).rejects.toMatchObject({ fault: 'object-missing' });
      await expect(store.readRange(missing, 0, 1)).rejects.toMatchObject({
        fault: 'object-missing',
      });
    });

    it.each(['', 'abc', 'sha256:ABC', `sha256:${'g'.repeat(64)}`, '../../etc/passwd'])(
      'refuses the digest %j',
      async (digest) => {
        await expect((async () => store.has(digest))()).rejects.toMatchObject({
          fault: 'digest-invalid',
        });
      },
    );

    it('takes over a file and stores one object when many store the same bytes at once', async () => {
      const bytes = randomBytes(50_000);
      const path = join(folder, 'part');
      await writeFile(path, bytes);
      const known = {
        digest: `sha256:${createHash('sha256').update(bytes).digest('hex')}`,
        sizeBytes: bytes.length,
      };
      const stored = await Promise.all([
        store.putFile(path, known),
        ...[1, 2, 3, 4].map(() => store.put(chunks(bytes, 1000))),
      ]);
      expect(stored).toEqual([known, known, known, known, known]);
      await expect(access(path)).rejects.toThrow('ENOENT');
      expectSame(await gather(await store.read(known.digest)), bytes);
    });

    it('lets a file stay that may have to be taken once more; the object outlives it', async () => {
      const bytes = randomBytes(50_000);
      const path = join(folder, 'stays');
      await writeFile(path, bytes);
      const digest = `sha256:${createHash('sha256').update(bytes).digest('hex')}`;
      const known = { digest, sizeBytes: bytes.length };
      for (let times = 0; times < 2; times++) {
        expect(await store.putFile(path, known, { keepsSource: true })).toEqual(known);
        expectSame(await readFile(path), bytes);
      }
      await rm(path);
      expectSame(await gather(await store.read(digest)), bytes);
    });

    it('refuses a file of another length than announced', async () => {
      const path = join(folder, 'short');
      await writeFile(path, 'ab');
      await expect(store.putFile(path, { digest: ABC, sizeBytes: 3 })).rejects.toMatchObject({
        fault: 'digest-mismatch',
      });
    });

    it('writes, replaces and reads named texts', async () => {
      expect(await store.readNamed('checkpoints/none/1')).toBeUndefined();
      await store.putNamed('checkpoints/log/7', Buffer.from('first'));
      await store.putNamed('checkpoints/log/7', Buffer.from('second'));
      expect(Buffer.from((await store.readNamed('checkpoints/log/7'))!).toString()).toBe('second');
    });

    it('lists named texts by the beginning of their keys and forgets those that are removed', async () => {
      const keys = ['list/a/1', 'list/a/2', 'list/ab', 'listless'];
      for (const key of keys) await store.putNamed(key, Buffer.from(key));
      expect(await sorted(store.listNamed('list/a'))).toEqual(['list/a/1', 'list/a/2', 'list/ab']);
      expect(await sorted(store.listNamed('list/a/'))).toEqual(['list/a/1', 'list/a/2']);
      await store.removeNamed('list/a/1');
      await store.removeNamed('list/a/1');
      expect(await store.readNamed('list/a/1')).toBeUndefined();
      expect(await sorted(store.listNamed('list/'))).toEqual(['list/a/2', 'list/ab']);
      expect(await sorted(store.listNamed('nothing/here'))).toEqual([]);
    });

    it('keeps a retained text against replacement and removal until its time is over', async () => {
      const key = 'checkpoints/retained/1';
      const until = new Date(Date.now() + RETAIN_MS);
      await store.putNamed(key, Buffer.from('first'), { retainUntil: until });
      await store.putNamed(key, Buffer.from('first')); // the same once more is no replacement
      const refused = { fault: 'named-retained' };
      await expect(store.putNamed(key, Buffer.from('other'))).rejects.toMatchObject(refused);
      await expect(store.removeNamed(key)).rejects.toMatchObject(refused);
      expect(Buffer.from((await store.readNamed(key))!).toString()).toBe('first');
      expect(Date.now()).toBeLessThan(until.getTime()); // else nothing above was tested
      await waitUntil(until);
      await store.putNamed(key, Buffer.from('other'));
      expect(Buffer.from((await store.readNamed(key))!).toString()).toBe('other');
      await store.removeNamed(key);
      expect(await store.readNamed(key)).toBeUndefined();
    }, 60_000);

    it('lists objects in the order of their digests, from any of them on', async () => {
      const put: string[] = [];
      for (let i = 0; i < 8; i++) put.push((await store.put(randomBytes(100 + i))).digest);
      const all = [];
      for await (const one of store.list()) all.push(one);
      const digests = all.map((one) => one.digest);
      expect(digests).toEqual([...digests].sort());
      expect(digests).toEqual(expect.arrayContaining(put));
      expect(all.find((one) => one.digest === put[3])?.sizeBytes).toBe(103);
      expect(Math.abs(all.at(-1)!.storedAt.getTime() - Date.now())).toBeLessThan(3_600_000);
      const rest = [];
      for await (const one of store.list(digests[2])) rest.push(one.digest);
      expect(rest).toEqual(digests.slice(3));
    });

    it.each(['remove', 'destroy'] as const)('%ss an object, also one that is gone', async (way) => {
      const bytes = randomBytes(700);
      const { digest } = await store.put(bytes, { retain: 'derivative' });
      await store[way](digest);
      expect(await store.has(digest)).toBe(false);
      await expect(store.read(digest)).rejects.toMatchObject({ fault: 'object-missing' });
      await store[way](digest);
      await store.put(bytes);
      expectSame(await gather(await store.read(digest)), bytes);
    });

    it('destroys an original that is withdrawn, whatever retention it stands under', async () => {
      const { digest } = await store.put(randomBytes(800), { retain: 'original' });
      await store.destroy(digest);
      expect(await store.has(digest)).toBe(false);
    });

    it.each(['', '../x', 'a//b', '/a', 'a/..', 'a/.b', 'a\\b', 'sha256/x', 'aside/x'])(
      'refuses the name %j',
      async (key) => {
        await expect(store.putNamed(key, Buffer.from('x'))).rejects.toMatchObject({
          fault: 'key-invalid',
        });
      },
    );
  });
}

async function* chunks(bytes: Uint8Array, sizeBytes: number): AsyncGenerator<Uint8Array> {
  for (let at = 0; at < bytes.length; at += sizeBytes) {
    yield await Promise.resolve(bytes.subarray(at, at + sizeBytes));
  }
}

async function* breakingOff(bytes: Uint8Array): AsyncGenerator<Uint8Array> {
  yield bytes;
  await Promise.resolve();
  throw new Error('cable pulled');
}

async function sorted(keys: AsyncIterable<string>): Promise<string[]> {
  const found: string[] = [];
  for await (const key of keys) found.push(key);
  return found.sort();
}

/** A service counts whole seconds and by its own clock. */
async function waitUntil(time: Date): Promise<void> {
  while (Date.now() < time.getTime() + 1500) await sleep(100);
}

async function gather(source: AsyncIterable<Uint8Array>): Promise<Buffer> {
  const parts: Uint8Array[] = [];
  for await (const part of source) parts.push(part);
  return Buffer.concat(parts);
}
