/** Pixel kernels and homographies of ours against SciPy, scikit-image and OpenCV on the same arrays. */
import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import sharp from 'sharp';
import {
  boxBlur,
  closing,
  connectedComponents,
  makePlane,
  maxFilter,
  nearestLabel,
  squaredDistance,
  watershed,
} from '#libs/raster';
import { fitHomography as fitByPairs } from '#libs/register';
import { fitHomography } from '../../libs/rubbing/src/homography.js';
import { randomStream } from '../bench/generator/random-stream.js';
import { check } from './check.js';

const SCRIPT = fileURLToPath(new URL('raster.py', import.meta.url));
const PICTURE = fileURLToPath(
  new URL('../../fixtures/rubbings/medium/rubbing.jpg', import.meta.url),
);
const WIDTH = 900;
const HEIGHT = 700;

interface Answer {
  sentence: string;
  holds: boolean;
  detail: string;
}

export async function checkRaster(python: string): Promise<void> {
  const folder = mkdtempSync(join(tmpdir(), 'conformance-raster-'));
  const put = (
    name: string,
    array: Uint8Array | Int32Array | Float32Array | Float64Array,
  ): void => {
    writeFileSync(
      join(folder, `${name}.${array.constructor.name}`),
      new Uint8Array(array.buffer, array.byteOffset, array.byteLength),
    );
  };
  try {
    const grey = await cutOut();
    const mask = grey.map((v) => (v < 110 ? 1 : 0));
    put('grey', grey);
    put('mask', mask);
    put('distance', squaredDistance(mask, WIDTH, HEIGHT));
    for (const connectivity of [4, 8] as const) {
      put(`labels${connectivity}`, connectedComponents(mask, WIDTH, HEIGHT, connectivity).labels);
    }
    const seeds = seedsFor(mask);
    put('seeds', seeds);
    put('flooded', watershed(grey, seeds, WIDTH, HEIGHT));
    const nearest = nearestLabel(seeds, WIDTH, HEIGHT);
    put('nearest', nearest.labels);
    put('nearestSquared', nearest.squared);
    const plane = { ...makePlane(WIDTH, HEIGHT), data: Float32Array.from(grey) };
    put('box', boxBlur(plane, 6, 4).data);
    put('highest', maxFilter(plane, 5).data);
    put('closed', closing(plane, 5).data);
    writeFileSync(join(folder, 'homographies.json'), JSON.stringify(homographies()));
    const run = spawnSync(python, [SCRIPT, folder, String(WIDTH), String(HEIGHT)], {
      encoding: 'utf8',
      maxBuffer: 1 << 26,
    });
    const lines = run.stdout.trim().split('\n');
    const answers = run.status === 0 ? lines.map((line) => JSON.parse(line) as Answer) : [];
    check('the peers ran to their end', run.status === 0 && answers.length >= 12, run.stderr);
    for (const { sentence, holds, detail } of answers) check(sentence, holds, detail);
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

/** A part of a bundled rubbing with leads, glass and bare paper. */
async function cutOut(): Promise<Uint8Array> {
  const data = await sharp(PICTURE)
    .extract({ left: 300, top: 300, width: WIDTH, height: HEIGHT })
    .greyscale()
    .raw()
    .toBuffer();
  return Uint8Array.from(data);
}

/** A label for each place of bare paper far from any wax. */
function seedsFor(mask: Uint8Array): Int32Array {
  const squared = squaredDistance(mask, WIDTH, HEIGHT);
  const core = Uint8Array.from(squared, (d) => (d > 64 ? 1 : 0));
  return connectedComponents(core, WIDTH, HEIGHT, 8).labels;
}

/** Points of tilted views, exact and with half a pixel of error, and what both of our fits make of them. */
function homographies(): unknown[] {
  const random = randomStream('conformance homographies');
  return Array.from({ length: 12 }, (_, k) => {
    const count = k < 4 ? 4 : random.whole(5, 12);
    const noise = k < 8 ? 0 : 0.5;
    const tilt: [number, number] = [random.between(-3e-4, 3e-4), random.between(-3e-4, 3e-4)];
    const turn = random.between(-0.3, 0.3);
    const corners = [
      [-12, -15],
      [402, -11],
      [410, 540],
      [-9, 533],
    ] as const;
    const from = Array.from({ length: count }, (__, i): [number, number] =>
      i < 4
        ? [corners[i]![0] + random.between(-8, 8), corners[i]![1] + random.between(-8, 8)]
        : [random.between(0, 400), random.between(0, 530)],
    );
    const to = from.map(([x, y]): [number, number] => {
      const w = 1 + tilt[0] * x + tilt[1] * y;
      const u = (4.5 * (Math.cos(turn) * x - Math.sin(turn) * y) + 300) / w;
      const v = (4.5 * (Math.sin(turn) * x + Math.cos(turn) * y) + 260) / w;
      return [u + noise * random.normal(), v + noise * random.normal()];
    });
    return {
      from,
      to,
      exact: noise === 0,
      algebraic: fitHomography(from.flat(), to.flat()),
      geometric: fitByPairs(
        from.map((panelMm, i) => ({ name: String(i), panelMm, imagePx: to[i]! })),
      ).imageFromPanel,
    };
  });
}
