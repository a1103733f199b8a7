/**
 * Files through the server against hash + write + flush of the same bytes, both with as many under way
 * at once: a studio's browser sends several pictures side by side.
 */
import { createHash, randomBytes } from 'node:crypto';
import { mkdirSync, rmSync } from 'node:fs';
import { open } from 'node:fs/promises';
import { join } from 'node:path';
import { putFile, tusFile } from '../media-clients.js';
import type { ServedArchive } from './served-archive.js';

const FILE_BYTES = 8 * 2 ** 20;
/** Files before the next way has its turn. */
const A_TURN = 20;
const WARM = 10;

/** A document as large as a photograph: nothing to decode, so that only the way in is timed. */
function freshFile(): Buffer {
  return Buffer.concat([
    Buffer.from('%PDF-1.4\n'),
    randomBytes(FILE_BYTES - 15),
    Buffer.from('\n%%EOF'),
  ]);
}

/** Seconds for `count` files each way, taken by turns so that a slow spell of the disk hits all. */
export async function intakeSeconds(
  { keeper, siteId, folder }: ServedArchive,
  count: number,
  atOnce: number,
): Promise<{ floorS: number; putS: number; tusS: number; mb: number }> {
  const floorFolder = join(folder, `floor-${atOnce}`);
  mkdirSync(floorFolder);
  const spent = { floorS: 0, putS: 0, tusS: 0 };
  let done = 0;
  const timed = async (way: keyof typeof spent, work: (file: Buffer) => Promise<unknown>) => {
    const files = Array.from({ length: Math.min(A_TURN, count - done) }, freshFile);
    const begin = performance.now();
    await Promise.all(
      Array.from({ length: atOnce }, async () => {
        for (let file = files.pop(); file !== undefined; file = files.pop()) await work(file);
      }),
    );
    spent[way] += (performance.now() - begin) / 1000;
  };
  let n = 0;
  // before the clock runs: the server compiles what it does often
  for (let i = 0; i < WARM; i++) {
    await putFile(keeper, siteId, freshFile());
    await tusFile(keeper, siteId, freshFile());
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
