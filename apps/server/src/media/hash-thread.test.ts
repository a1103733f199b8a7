import { createHash, randomBytes } from 'node:crypto';
import { mkdtempSync, rmSync } from 'node:fs';
import { type FileHandle, open, readFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { HashThread } from './hash-thread.js';

const folder = mkdtempSync(join(tmpdir(), 'hash-thread-'));
const hashing = new HashThread();
afterAll(async () => {
  await hashing.end();
  rmSync(folder, { recursive: true });
});

const digestOf = (bytes: Uint8Array) => createHash('sha256').update(bytes).digest('hex');
const whole = (bytes: Uint8Array) => Uint8Array.from(bytes);
const text = (words: string) => whole(Buffer.from(words));

async function withFile<T>(name: string, use: (file: FileHandle) => Promise<T>): Promise<T> {
  const file = await open(join(folder, name), 'w');
  try {
    return await use(file);
  } finally {
    await file.close();
  }
}

const written = (name: string) => readFile(join(folder, name));

describe('HashThread', () => {
  it('writes and hashes what it is given, from several senders at once', async () => {
    const files = Array.from({ length: 5 }, () => randomBytes(30_000_000));
    const found = await Promise.all(
      files.map((bytes, i) =>
        withFile(`many-${i}`, async ({ fd }) => {
          const hash = hashing.begin();
          for (let at = 0; at < bytes.length; at += 1_000_003)
            await hash.write(fd, [whole(bytes.subarray(at, at + 1_000_003))], at);
          const digest = await hash.digest();
          hash.end();
          return digest.toString('hex');
        }),
      ),
    );
    expect(found).toEqual(files.map(digestOf));
    for (const [i, bytes] of files.entries())
      expect((await written(`many-${i}`)).equals(bytes)).toBe(true);
  });

  it('keeps small and large pieces in their order, behind what a file holds', async () => {
    const lengths = [3, 20_000, 1, 700_000, 16_384, 5, 5, 16_383];
    const pieces = lengths.map((length) => randomBytes(length)).map(whole);
    const bytes = Buffer.concat(pieces);
    await withFile('mixed', async (file) => {
      await file.write('begun, ');
      const hash = hashing.begin();
      await hash.write(file.fd, pieces, 7);
      expect((await hash.digest()).toString('hex')).toBe(digestOf(bytes));
      hash.end();
    });
    const expected = Buffer.concat([Buffer.from('begun, '), bytes]);
    expect((await written('mixed')).equals(expected)).toBe(true);
  });

  it('takes the memory of a whole large buffer and leaves the neighbours of a part alone', async () => {
    const room = randomBytes(100_000);
    const before = Buffer.from(room);
    const own = whole(randomBytes(50_000));
    const bytes = Buffer.concat([room.subarray(20_000, 60_000), own]);
    await withFile('memory', async ({ fd }) => {
      const hash = hashing.begin();
      await hash.write(fd, [room.subarray(20_000, 60_000), own], 0);
      expect((await hash.digest()).toString('hex')).toBe(digestOf(bytes));
      hash.end();
    });
    expect(own).toHaveLength(0);
    expect(room.equals(before)).toBe(true);
    expect((await written('memory')).equals(bytes)).toBe(true);
  });

  it('goes on from a copy, and the first from where it was', async () => {
    await withFile('copy', async ({ fd }) => {
      const first = hashing.begin();
      await first.write(fd, [text('begun')], 0);
      const second = first.copy();
      await second.write(fd, [text(', ended')], 5);
      expect((await second.digest()).toString('hex')).toBe(digestOf(Buffer.from('begun, ended')));
      expect((await first.digest()).toString('hex')).toBe(digestOf(Buffer.from('begun')));
      first.end();
      second.end();
    });
    expect(await readFile(join(folder, 'copy'), 'utf8')).toBe('begun, ended');
  });

  it('tells what the system said of a write, with its code, and goes on', async () => {
    // write(2): EBADF where the file is not open for writing
    const unwritable = await open(join(folder, 'mixed'), 'r');
    const hash = hashing.begin();
    await expect(hash.write(unwritable.fd, [text('lost')], 0)).rejects.toMatchObject({
      code: 'EBADF',
      syscall: 'write',
    });
    await unwritable.close();
    hash.end();
    const next = hashing.begin();
    await withFile('next', ({ fd }) => next.write(fd, [text('kept')], 0));
    expect((await next.digest()).toString('hex')).toBe(digestOf(Buffer.from('kept')));
    next.end();
  });

  it('tells whoever waits when it is ended, and takes no more', async () => {
    const other = new HashThread();
    const hash = other.begin();
    const waiting = hash.digest();
    const told = expect(waiting).rejects.toThrow('the thread that hashes ended');
    await other.end();
    await told;
    expect(hash.isAlive).toBe(false);
    await expect(hash.digest()).rejects.toThrow('the thread that hashes ended');
    await withFile('late', async ({ fd }) => {
      await expect(hash.write(fd, [text('late')], 0)).rejects.toThrow('ended');
    });
    expect(() => other.begin()).toThrow('was ended');
  });
});
