/** Taps that differ by a pixel give the same map: the marks are found again beneath them. */
import { readFileSync } from 'node:fs';
import sharp from 'sharp';
import { flatten } from './flatten.js';
import { imageXyPx } from './flattening.js';
import { greyOf } from './grey-image.js';
import type { RubbingControl, RubbingImage } from './sheet.js';

const folder = new URL('../../../fixtures/rubbings/', import.meta.url);

/** Numbers that jump about, the same every run (the multiplicative generator of Park and Miller, 1988). */
function jumping(seed: number): () => number {
  let state = seed;
  return () => {
    state = (state * 16807) % 2147483647;
    return state / 2147483647;
  };
}

interface Camera {
  readonly homography_mm_to_px: readonly (readonly number[])[];
  readonly k1: number;
  readonly centre: readonly [number, number];
  readonly r0: number;
}

describe.each(['easy', 'medium', 'hard'])('rubbing %s', (name) => {
  const read = (file: string): unknown =>
    JSON.parse(readFileSync(new URL(`${name}/${file}`, folder), 'utf8'));
  const input = read('input.json') as {
    images: { image: string; control: RubbingControl; dpi?: number }[];
  };
  const { image: file, control, dpi } = input.images[0]!;
  const taps = (read('clicks.json') as Record<string, [number, number][]>)[file]!;
  const truth = read('truth.json') as {
    panel: { size_mm: [number, number] };
    camera: Record<string, Camera>;
  };
  const [width, height] = truth.panel.size_mm;
  const grid = Array.from({ length: 81 }, (_, i): [number, number] => [
    ((i % 9) * width) / 8,
    (Math.floor(i / 9) * height) / 8,
  ]);
  let image: RubbingImage;

  beforeAll(async () => {
    const { data, info } = await sharp(readFileSync(new URL(`${name}/${file}`, folder)))
      .rotate()
      .removeAlpha()
      .raw()
      .toBuffer({ resolveWithObject: true });
    image = {
      widthPx: info.width,
      heightPx: info.height,
      rgb: data,
      ...(dpi === undefined ? {} : { dpi }),
    };
  });

  test('places lie where the camera that made the picture puts them, 0.1 mm in the mean', () => {
    const f = flatten({ image, control, taps }, greyOf(image));
    const camera = truth.camera[file]!;
    const [p, q, r] = camera.homography_mm_to_px as [number[], number[], number[]];
    const errors = grid.map(([x, y]) => {
      const w = r[0]! * x + r[1]! * y + r[2]!;
      const dx = (p[0]! * x + p[1]! * y + p[2]!) / w - camera.centre[0];
      const dy = (q[0]! * x + q[1]! * y + q[2]!) / w - camera.centre[1];
      const bent = 1 + (camera.k1 * (dx * dx + dy * dy)) / camera.r0 ** 2;
      const [u, v] = imageXyPx(f, x, y);
      return Math.hypot(u - camera.centre[0] - dx * bent, v - camera.centre[1] - dy * bent);
    });
    const meanMm = errors.reduce((s, e) => s + e, 0) / errors.length / f.imagePxPerMm;
    expect(meanMm).toBeLessThan(0.1);
  });

  test('twenty sets of taps, each moved by a pixel, move no place by 0.2 mm', () => {
    const grey = greyOf(image);
    const random = jumping(17);
    const base = flatten({ image, control, taps }, grey);
    let most = 0;
    for (let round = 0; round < 20; round++) {
      const moved = taps.map(([x, y]): [number, number] => {
        const t = 2 * Math.PI * random();
        return [x + Math.cos(t), y + Math.sin(t)];
      });
      const again = flatten({ image, control, taps: moved }, grey);
      for (const [x, y] of grid) {
        const [u, v] = imageXyPx(base, x, y);
        const [s, t] = imageXyPx(again, x, y);
        most = Math.max(most, Math.hypot(u - s, v - t) / base.imagePxPerMm);
      }
    }
    expect(most).toBeLessThan(0.2);
  });
});
