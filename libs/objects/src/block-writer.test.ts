import { randomBytes } from 'node:crypto';
import { type FileHandle, mkdtemp, open, readFile, rm, stat } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { BlockWriter } from './block-writer.js';

const folder = await mkdtemp(join(tmpdir(), 'block-writer-'));
afterAll(() => rm(folder, { recursive: true }));

async function withFile<T>(name: string, use: (handle: FileHandle) => Promise<T>): Promise<T> {
  const handle = await open(join(folder, name), 'w+');
  try {
    return await use(handle);
  } finally {
    await handle.close();
  }
}

function piecesOf(bytes: Buffer, length: number): Buffer[] {
  const count = Math.ceil(bytes.length / length);
  return Array.from({ length: count }, (_, i) => bytes.subarray(i * length, (i + 1) * length));
}

describe('BlockWriter', () => {
  it.each([1_000, 65_536, 3_000_000])(
    'writes pieces of %i bytes in their order',
    async (length) => {
      const bytes = randomBytes(9_000_001);
      await withFile('whole', async (handle) => {
        const writer = new BlockWriter(handle, 0);
        for (const piece of piecesOf(bytes, length)) await writer.add(piece);
        await writer.end();
      });
      expect((await readFile(join(folder, 'whole'))).equals(bytes)).toBe(true);
    },
  );

  it('goes on behind what a file holds', async () => {
    await withFile('behind', async (handle) => {
      await handle.write('begun, ');
      const writer = new BlockWriter(handle, 7);
      await writer.add(Buffer.from('ended'));
      await writer.end();
    });
    expect(await readFile(join(folder, 'behind'), 'utf8')).toBe('begun, ended');
  });

  it('writes all of it where the system takes a part at a time', async () => {
    const bytes = randomBytes(2_500_000);
    await withFile('parts', async (handle) => {
      const slow = sparingly(handle, 70_001);
      const writer = new BlockWriter(slow, 0);
      for (const piece of piecesOf(bytes, 65_536)) await writer.add(piece);
      await writer.end();
    });
    expect((await readFile(join(folder, 'parts'))).equals(bytes)).toBe(true);
  });

  it('does not keep what came over a slow line waiting for more', async () => {
    await withFile('slow', async (handle) => {
      const writer = new BlockWriter(handle, 0);
      await writer.add(Buffer.from('first'));
      const until = Date.now() + 5_000;
      while ((await stat(join(folder, 'slow'))).size < 5 && Date.now() < until)
        await new Promise((resolve) => setTimeout(resolve, 5));
      expect(await readFile(join(folder, 'slow'), 'utf8')).toBe('first');
      await writer.end();
    });
  });

  it.each(['writev', 'datasync'] as const)(
    'tells at the end what the system said once, in the middle, of %s',
    async (call) => {
      await withFile('failing', async (handle) => {
        const failing = failingOnce(handle, call);
        const writer = new BlockWriter(failing, 0);
        const written = (async () => {
          for (let i = 0; i < 12; i++) await writer.add(randomBytes(2 ** 20));
        })();
        await written.catch(() => undefined); // a failed write may be told here already
        await expect(writer.end()).rejects.toThrow('the disk failed');
      });
    },
  );

  it('hands on what is written, in its order, and waits until that is done with', async () => {
    const bytes = randomBytes(5_000_000);
    const handed: Uint8Array[] = [];
    let atOnce = 0;
    await withFile('handed', async (handle) => {
      const writer = new BlockWriter(handle, 0, async (pieces) => {
        atOnce += 1;
        const before = handed.reduce((sum, { length }) => sum + length, 0);
        const there = Buffer.alloc(pieces.reduce((sum, { length }) => sum + length, 0));
        await handle.read(there, 0, there.length, before);
        expect(there.equals(Buffer.concat(pieces))).toBe(true);
        handed.push(...pieces);
        await new Promise((resolve) => setTimeout(resolve, 5));
        expect(atOnce).toBe(1);
        atOnce -= 1;
      });
      for (const piece of piecesOf(bytes, 65_536)) await writer.add(piece);
      await writer.end();
    });
    expect(Buffer.concat(handed).equals(bytes)).toBe(true);
  });

  it('keeps whoever adds waiting while the disk is a block behind', async () => {
    await withFile('behind-a-block', async (handle) => {
      let letGo = () => {};
      const stuck = new Promise<void>((resolve) => {
        letGo = resolve;
      });
      const writer = new BlockWriter(handle, 0, () => stuck);
      expect(writer.add(Buffer.alloc(2 ** 20))).toBeUndefined();
      const waiting = writer.add(Buffer.alloc(2 ** 20));
      expect(waiting).toBeInstanceOf(Promise);
      letGo();
      await waiting;
      await writer.end();
    });
  });

  it('tells of a failure of whoever takes what is written', async () => {
    await withFile('untaken', async (handle) => {
      const writer = new BlockWriter(handle, 0, () => Promise.reject(new Error('no room for it')));
      await writer.add(Buffer.alloc(2 ** 20));
      await expect(writer.end()).rejects.toThrow('no room for it');
    });
  });
});

/** The same file, of which the system takes at most so many bytes a call. */
function sparingly(handle: FileHandle, mostBytes: number): FileHandle {
  return changed(handle, 'writev', (buffers: readonly Uint8Array[], at: number) =>
    handle.write(buffers[0]!, 0, Math.min(mostBytes, buffers[0]!.length), at),
  );
}

/** The kernel tells a failure once, to the first who asks: the next call finds nothing wrong. */
function failingOnce(handle: FileHandle, call: 'writev' | 'datasync'): FileHandle {
  let hasFailed = false;
  return changed(handle, call, (...given: never[]) => {
    if (hasFailed) return (handle[call] as (...all: never[]) => Promise<unknown>)(...given);
    hasFailed = true;
    return Promise.reject(new Error('the disk failed'));
  });
}

function changed(handle: FileHandle, call: string, stand: (...given: never[]) => unknown) {
  return new Proxy(handle, {
    get(target, name) {
      if (name === call) return stand;
      const value = Reflect.get(target, name) as unknown;
      return typeof value === 'function' ? (value.bind(target) as unknown) : value;
    },
  });
}
