import { createHash, randomBytes } from 'node:crypto';
import { HashThread } from './hash-thread.js';

const hashing = new HashThread();
afterAll(() => hashing.end());

const digestOf = (bytes: Uint8Array) => createHash('sha256').update(bytes).digest('hex');
const whole = (bytes: Uint8Array) => Uint8Array.from(bytes);

describe('HashThread', () => {
  it('hashes what it is given, from several senders at once', async () => {
    const files = Array.from({ length: 5 }, () => randomBytes(30_000_000));
    const found = await Promise.all(
      files.map(async (file) => {
        const hash = hashing.begin();
        for (let at = 0; at < file.length; at += 1_000_003)
          await hash.take([whole(file.subarray(at, at + 1_000_003))]);
        const digest = await hash.digest();
        hash.end();
        return digest.toString('hex');
      }),
    );
    expect(found).toEqual(files.map(digestOf));
  });

  it('takes the memory of a whole buffer and leaves the neighbours of a part alone', async () => {
    const room = new Uint8Array([1, 2, 3, 4]);
    const own = new Uint8Array([5, 6]);
    const hash = hashing.begin();
    await hash.take([room.subarray(1, 3), own]);
    expect((await hash.digest()).toString('hex')).toBe(digestOf(Buffer.from([2, 3, 5, 6])));
    expect(own).toHaveLength(0);
    expect([...room]).toEqual([1, 2, 3, 4]);
    hash.end();
  });

  it('goes on from a copy, and the first from where it was', async () => {
    const first = hashing.begin();
    await first.take([whole(Buffer.from('begun'))]);
    const second = first.copy();
    await second.take([whole(Buffer.from(', ended'))]);
    expect((await second.digest()).toString('hex')).toBe(digestOf(Buffer.from('begun, ended')));
    expect((await first.digest()).toString('hex')).toBe(digestOf(Buffer.from('begun')));
    first.end();
    second.end();
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
    await expect(hash.take([whole(Buffer.from('late'))])).rejects.toThrow('ended');
    expect(() => other.begin()).toThrow('was ended');
  });
});
