/** Dark wax on light paper, or light wax on dark: seen from which side the detail stands out of its surroundings. */
import { gaussianBlur, makePlane } from '#libs/raster';
import type { GreyImage } from '../grey-image.js';

export type Tone = 'dark-on-light' | 'light-on-dark';

/** Cells on the long side: a came is then some cells wide, and grain is averaged out. */
const CELLS = 480;
/** The middle of the picture: what lies round the sheet has its own tone. */
const MIDDLE = 0.16;
/** Skewness beyond which light detail on dark paper is believed. */
const LEAST_SKEW = 0.25;
const DARK_PAPER = 128;

/** Skewness of what is left when the surroundings are taken away, and the median level, in the middle of the picture. */
export function toneFigures(grey: GreyImage): { skew: number; median: number } {
  const k = Math.max(1, Math.floor(Math.max(grey.width, grey.height) / CELLS));
  const width = Math.floor(grey.width / k);
  const height = Math.floor(grey.height / k);
  const cells = makePlane(width, height);
  const every = Math.max(1, k >> 2);
  const samples = Math.ceil(k / every) ** 2;
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      let sum = 0;
      for (let v = 0; v < k; v += every) {
        const from = (y * k + v) * grey.width + x * k;
        for (let u = 0; u < k; u += every) sum += grey.data[from + u]!;
      }
      cells.data[y * width + x] = sum / samples;
    }
  }
  const round = gaussianBlur(cells, CELLS / 30);
  const levels = new Float32Array(width * height);
  let n = 0;
  let square = 0;
  let cube = 0;
  for (let y = Math.ceil(MIDDLE * height); y < (1 - MIDDLE) * height; y++) {
    for (let x = Math.ceil(MIDDLE * width); x < (1 - MIDDLE) * width; x++) {
      const i = y * width + x;
      const r = cells.data[i]! - round.data[i]!;
      square += r * r;
      cube += r * r * r;
      levels[n++] = cells.data[i]!;
    }
  }
  const sorted = levels.subarray(0, n).sort();
  return {
    skew: square > 0 ? cube / n / (square / n) ** 1.5 : 0,
    median: sorted[n >> 1] ?? 255,
  };
}

export function toneOf(grey: GreyImage): Tone {
  const { skew, median } = toneFigures(grey);
  return skew > LEAST_SKEW && median < DARK_PAPER ? 'light-on-dark' : 'dark-on-light';
}

/** In place: light becomes dark. */
export function invert(grey: GreyImage): void {
  for (let i = 0; i < grey.data.length; i++) grey.data[i] = 255 - grey.data[i]!;
}
