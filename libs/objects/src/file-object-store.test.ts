import { link, mkdtemp, readdir, rm, stat, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';
import { FileObjectStore } from './file-object-store.js';
import { describeObjectStore } from './objects.contract.js';
import { openObjectStore } from './open-object-store.js';
import { describeTendedStore } from './tended.contract.js';

// SHA-256 of 'abc': FIPS 180-4, appendix example
const ABC = 'ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad';
const root = await mkdtemp(join(tmpdir(), 'object-store-'));
afterAll(() => rm(root, { recursive: true }));

describeObjectStore('a folder', () => openObjectStore(`file:${root}`));
describeTendedStore('a folder', () => openObjectStore(`file:${root}`));

describe('FileObjectStore', () => {
  it('keeps objects read-only and leaves nothing half-written behind', async () => {
    const store = await FileObjectStore.open(join(root, 'second'));
    const { digest } = await store.put(Buffer.from('abc'));
    expect((await stat(store.path(digest))).mode & 0o777).toBe(0o444);
    await expect(store.put(Buffer.from('abd'), { expectedDigest: digest })).rejects.toThrow(
      'announced',
    );
    expect(await readdir(join(root, 'second', 'incoming'))).toEqual([]);
  });

  it('takes a file that a crash left under both names', async () => {
    const store = await FileObjectStore.open(join(root, 'third'));
    const stored = await store.put(Buffer.from('abc'));
    const path = join(root, 'part');
    await link(store.path(stored.digest), path);
    expect(await store.putFile(path, stored)).toEqual(stored);
    expect(await readdir(join(root, 'third', 'incoming'))).toEqual([]);
    await expect(stat(path)).rejects.toThrow('ENOENT');
    expect(Buffer.from(await store.readRange(stored.digest, 0, 3)).toString()).toBe('abc');
  });
});

describe('a file whose flush is under way', () => {
  it('gets its name when it is on the disk, and none when the disk refused it', async () => {
    const store = await FileObjectStore.open(join(root, 'fourth'));
    const path = join(root, 'flushed');
    await writeFile(path, 'abc');
    const known = { digest: `sha256:${ABC}`, sizeBytes: 3 };
    const full = Promise.reject(Object.assign(new Error('no space'), { code: 'ENOSPC' }));
    await expect(store.putFile(path, known, { flushed: full })).rejects.toMatchObject({
      fault: 'store-full',
    });
    expect(await store.has(known.digest)).toBe(false);
    let end = (): void => undefined;
    const flushed = new Promise<void>((resolve) => {
      end = resolve;
    });
    const taking = store.putFile(path, known, { flushed, keepsSource: true });
    await expect(Promise.race([taking, sleep(100, 'waits')])).resolves.toBe('waits');
    expect(await store.has(known.digest)).toBe(false);
    end();
    expect(await taking).toEqual(known);
    expect(await store.has(known.digest)).toBe(true);
  });
});

describe('openObjectStore', () => {
  it.each(['', '/tmp/x', 's3://bucket', 's3://?endpoint=http://localhost', 'http://localhost/b'])(
    'refuses the place %j',
    async (locator) => {
      await expect(openObjectStore(locator)).rejects.toMatchObject({ fault: 'locator-invalid' });
    },
  );
});
