import { link, mkdtemp, readdir, rm, stat } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { FileObjectStore } from './file-object-store.js';
import { describeObjectStore } from './objects.contract.js';
import { openObjectStore } from './open-object-store.js';
import { describeTendedStore } from './tended.contract.js';

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

describe('openObjectStore', () => {
  it.each(['', '/tmp/x', 's3://bucket', 's3://?endpoint=http://localhost', 'http://localhost/b'])(
    'refuses the place %j',
    async (locator) => {
      await expect(openObjectStore(locator)).rejects.toMatchObject({ fault: 'locator-invalid' });
    },
  );
});
