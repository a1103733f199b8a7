/**
 * Files through the server against hash + write + flush of the same bytes, both with as many under way
 * at once: a studio's browser sends several pictures side by side.
 */
import { createHash, randomFillSync } from 'node:crypto';
import { mkdirSync, rmSync } from 'node:fs';
import { open } from 'node:fs/promises';
import { join } from 'node:path';
import { putFile, tusFile } from '../media-clients.js';
import type { ServedArchive } from './served-archive.js';

const FILE_BYTES = 8 * 2 ** 20;
/** Files before the next way has its turn. */
const A_TURN = 20;
/** Requests of each way before the clock runs: what a server does often is compiled by then. */
const WARM = 60;

const HEAD = '%PDF-1.4\n';
const TAIL = '\n%%EOF';

/**
 * Documents as large as a photograph: nothing to decode, so that only the way in is timed. Their memory
 * is used again: new buffers make the collector run on both cores while all ways are timed.
 */
class FreshFiles {
  readonly #buffers = Array.from({ length: A_TURN }, () => {
    const file = Buffer.alloc(FILE_BYTES, HEAD);
    file.write(TAIL, FILE_BYTES - TAIL.length);
    return file;
  });

  /** @returns at most {@link A_TURN}, good until the next are asked for */
  next(count: number): Buffer[] {
    const files = this.#buffers.slice(0, count);
    for (const file of files)
      randomFillSync(file, HEAD.length, FILE_BYTES - HEAD.length - TAIL.length);
    return files;
  }
}

/** Seconds for `count` files each way, taken by turns so that a slow spell of the disk hits all. */
export async function intakeSeconds(
  { keeper, siteId, folder }: ServedArchive,
  count: number,
  atOnce: number,
): Promise<{ floorS: number; putS: number; tusS: number; mb: number }> {
  const floorFolder = join(folder, `floor-${atOnce}`);
  mkdirSync(floorFolder);
  const fresh = new FreshFiles();
  const spent = { floorS: 0, putS: 0, tusS: 0 };
  let done = 0;
  const timed = async (way: keyof typeof spent, work: (file: Buffer) => Promise<unknown>) => {
    const files = fresh.next(Math.min(A_TURN, count - done));
    const begin = performance.now();
    await Promise.all(
      Array.from({ length: atOnce }, async () => {
        for (let file = files.pop(); file !== undefined; file = files.pop()) await work(file);
      }),
    );
    spent[way] += (performance.now() - begin) / 1000;
  };
  let n = 0;
  for (let i = 0; i < WARM; i++) {
    const [file] = fresh.next(1);
    await putFile(keeper, siteId, file!);
    await tusFile(keeper, siteId, fresh.next(1)[0]!);
  }
  while (done < count) {
    await timed('floorS', async (bytes) => {
      createHash('sha256').update(bytes).digest();
      const file = await open(join(floorFolder, String(n++)), 'w');
      await file.writeFile(bytes);
      await file.sync();
      await file.close();
    });
    await timed('putS', (bytes) => putFile(keeper, siteId, bytes));
    await timed('tusS', (bytes) => tusFile(keeper, siteId, bytes));
    done += A_TURN;
  }
  rmSync(floorFolder, { recursive: true });
  return { ...spent, mb: (count * FILE_BYTES) / 1e6 };
}
