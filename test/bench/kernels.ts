/**
 * npm run bench:kernels: exact distance transform and labels of libs/raster against OpenCV's native ones, on the
 * same 24 MP mask, in turns, one core each.
 */
import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import sharp from 'sharp';
import { connectedComponents, squaredDistance } from '#libs/raster';
import { peerPython } from '../conformance/python-tools.js';
import type { Judged } from './rubbing/bars.js';
import { ONE_CORE } from './rubbing/ordinary.js';
import { barLines } from './rubbing/table.js';

const WIDTH = 6000;
const HEIGHT = 4000;
const ROUNDS = 3;
const SCRIPT = `
import json, sys, time
import cv2, numpy as np
cv2.setNumThreads(1)
width, height = int(sys.argv[2]), int(sys.argv[3])
mask = np.fromfile(sys.argv[1], np.uint8).reshape(height, width)
away = 1 - mask
def ms(work):
    work()
    start = time.perf_counter(); work(); return 1000 * (time.perf_counter() - start)
print(json.dumps({
  "distance": ms(lambda: cv2.distanceTransform(away, cv2.DIST_L2, cv2.DIST_MASK_PRECISE)),
  "labels": ms(lambda: cv2.connectedComponents(mask, connectivity=8)),
}))
`;

/** @throws Error when OpenCV cannot be had: a ratio that was not measured holds no bar */
export async function kernelBars(python: string): Promise<Judged[]> {
  const mask = await rubbingMask();
  const folder = mkdtempSync(join(tmpdir(), 'mullion-kernels-'));
  const path = join(folder, 'mask.raw');
  writeFileSync(path, mask);
  const ours: Times[] = [];
  const peers: Times[] = [];
  try {
    for (let round = 0; round < ROUNDS; round++) {
      ours.push({
        distance: milliseconds(() => squaredDistance(mask, WIDTH, HEIGHT)),
        labels: milliseconds(() => connectedComponents(mask, WIDTH, HEIGHT, 8)),
      });
      const run = spawnSync(python, ['-c', SCRIPT, path, String(WIDTH), String(HEIGHT)], {
        encoding: 'utf8',
        env: { ...process.env, ...ONE_CORE },
      });
      if (run.status !== 0) throw new Error(`OpenCV: ${run.stderr}`);
      peers.push(JSON.parse(run.stdout) as Times);
    }
  } finally {
    rmSync(folder, { recursive: true });
  }
  const ratio = (what: keyof Times): number =>
    median(ours.map((t) => t[what])) / median(peers.map((t) => t[what]));
  const bar = (name: string, value: number): Judged => ({
    bar: name,
    value,
    limit: 2.5,
    sense: 'at most',
    digits: 2,
  });
  return [
    bar('distance transform, time over OpenCV native', ratio('distance')),
    bar('labels, time over OpenCV native', ratio('labels')),
  ];
}

interface Times {
  distance: number;
  labels: number;
}

function milliseconds(work: () => unknown): number {
  work();
  const start = performance.now();
  work();
  return performance.now() - start;
}

function median(values: readonly number[]): number {
  return [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)]!;
}

/** The dark pixels of a bundled rubbing, repeated over 24 MP. */
async function rubbingMask(): Promise<Uint8Array> {
  const path = fileURLToPath(
    new URL('../../fixtures/rubbings/medium/rubbing.jpg', import.meta.url),
  );
  const { data, info } = await sharp(path).greyscale().raw().toBuffer({ resolveWithObject: true });
  const mask = new Uint8Array(WIDTH * HEIGHT);
  for (let y = 0; y < HEIGHT; y++) {
    for (let x = 0; x < WIDTH; x++) {
      const grey = data[(y % info.height) * info.width + (x % info.width)]!;
      mask[y * WIDTH + x] = grey < 110 ? 1 : 0;
    }
  }
  return mask;
}

if (import.meta.url === pathToFileURL(process.argv[1]!).href) {
  for (const line of barLines(await kernelBars(peerPython()))) process.stdout.write(`${line}\n`);
}
