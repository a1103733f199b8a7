/** What tells a rubbing from another picture before any lead is looked for. */
import { gaussianBlur, makePlane, type Plane, shrink } from '#libs/raster';
import { type Flattening, imageXyPx } from '../flattening.js';
import type { Tone } from '../ink/tone.js';
import type { RubbingImage } from '../sheet.js';

export interface SheetFigures {
  /** Spread (10th to 90th percentile) of the colour of the lightest spot in each few millimetres: paper has one. */
  readonly colourSpread: number;
  /** 90th percentile of the step in brightness of those spots over 24 mm, as a share: paper changes slowly. */
  readonly brightnessStep: number;
  /** Share of the sheet that is covered by more than dust. */
  readonly inkShare: number;
  /** Energy of detail of about 0.5 mm beside that of about 1 mm: blur takes the finer first. */
  readonly sharpness: number;
}

const CELL_MM = 3;
const STEP_CELLS = 8;
const SAMPLES = 3;
const DARK = 40;

export function sheetFigures(
  image: RubbingImage,
  flattening: Flattening,
  density: Plane,
  pxPerMm: number,
  tone: Tone,
): SheetFigures {
  const spots = paperSpots(image, flattening, tone);
  const ink = shrink(density, Math.max(1, Math.round(pxPerMm)));
  let covered = 0;
  for (const d of ink.data) if (d > 0.25) covered++;
  return {
    ...colourFigures(spots, tone),
    inkShare: covered / ink.data.length,
    sharpness: sharpnessOf(density, pxPerMm),
  };
}

interface Spots {
  readonly columns: number;
  readonly rows: number;
  readonly rgb: Float32Array;
}

/** Colour of the lightest of some places in each cell: paper beside wax, glass beside lead. With light wax the darkest. */
function paperSpots(image: RubbingImage, flattening: Flattening, tone: Tone): Spots {
  const [minX, minY, maxX, maxY] = flattening.extentMm;
  const columns = Math.max(1, Math.floor((maxX - minX) / CELL_MM));
  const rows = Math.max(1, Math.floor((maxY - minY) / CELL_MM));
  const rgb = new Float32Array(3 * columns * rows);
  const source = image.rgb;
  const row = 3 * image.widthPx;
  for (let r = 0; r < rows; r++) {
    for (let c = 0; c < columns; c++) {
      let best = -Infinity;
      const sign = tone === 'light-on-dark' ? -1 : 1;
      for (let k = 0; k < SAMPLES * SAMPLES; k++) {
        const x = minX + (c + ((k % SAMPLES) + 0.5) / SAMPLES) * CELL_MM;
        const y = minY + (r + (Math.floor(k / SAMPLES) + 0.5) / SAMPLES) * CELL_MM;
        const [u, v] = imageXyPx(flattening, x, y);
        const i = 3 * (clamp(v, image.heightPx) * image.widthPx + clamp(u, image.widthPx));
        // two pixels each way: sensor noise is not colour
        const beside = i + 5 < source.length ? 3 : 0;
        const below = i + row + 2 < source.length ? row : 0;
        const across = i + row + 5 < source.length ? row + 3 : 0;
        const mean = (j: number): number =>
          (source[j]! + source[j + beside]! + source[j + below]! + source[j + across]!) / 4;
        const red = mean(i);
        const green = mean(i + 1);
        const blue = mean(i + 2);
        const luma = sign * (0.3 * red + 0.59 * green + 0.11 * blue);
        if (luma <= best) continue;
        best = luma;
        const o = 3 * (r * columns + c);
        rgb[o] = red;
        rgb[o + 1] = green;
        rgb[o + 2] = blue;
      }
    }
  }
  return { columns, rows, rgb };
}

function clamp(v: number, size: number): number {
  return Math.min(size - 1, Math.max(0, Math.round(v)));
}

function colourFigures(
  { columns, rows, rgb }: Spots,
  tone: Tone,
): {
  colourSpread: number;
  brightnessStep: number;
} {
  const warm: number[] = [];
  const green: number[] = [];
  const steps: number[] = [];
  const brightness = (i: number): number => {
    const luma = 0.3 * rgb[i]! + 0.59 * rgb[i + 1]! + 0.11 * rgb[i + 2]!;
    return tone === 'light-on-dark' ? 255 - luma : luma;
  };
  for (let r = 0; r < rows; r++) {
    for (let c = 0; c < columns; c++) {
      const i = 3 * (r * columns + c);
      const b = brightness(i);
      if (c + STEP_CELLS < columns) {
        const other = brightness(i + 3 * STEP_CELLS);
        steps.push(Math.abs(b - other) / Math.max(1, b, other));
      }
      if (r + STEP_CELLS < rows) {
        const other = brightness(i + 3 * STEP_CELLS * columns);
        steps.push(Math.abs(b - other) / Math.max(1, b, other));
      }
      // the colour of near black is noise
      if (rgb[i]! + rgb[i + 1]! + rgb[i + 2]! < 3 * DARK) continue;
      const sum = rgb[i]! + rgb[i + 1]! + rgb[i + 2]!;
      warm.push((rgb[i]! - rgb[i + 2]!) / sum);
      green.push((2 * rgb[i + 1]! - rgb[i]! - rgb[i + 2]!) / sum);
    }
  }
  return {
    colourSpread: spread(warm) + spread(green),
    brightnessStep: at(Float64Array.from(steps).sort(), 0.9),
  };
}

function spread(values: readonly number[]): number {
  const sorted = Float64Array.from(values).sort();
  return at(sorted, 0.9) - at(sorted, 0.1);
}

function at(sorted: Float64Array, share: number): number {
  return sorted[Math.floor(share * (sorted.length - 1))] ?? 0;
}

/** Over five windows, which is enough: blur is the same all over a flat sheet, or nearly. */
function sharpnessOf(density: Plane, pxPerMm: number): number {
  const side = Math.min(density.width, density.height, Math.round(WINDOW_MM * pxPerMm));
  let fine = 0;
  let coarse = 0;
  for (const k of [0, 2, 4, 6, 8]) {
    const x = Math.round(((density.width - side) * (k % 3)) / 2);
    const y = Math.round(((density.height - side) * Math.floor(k / 3)) / 2);
    const window = cut(density, x, y, side);
    const a = gaussianBlur(window, 0.3 * pxPerMm);
    const b = gaussianBlur(window, 0.6 * pxPerMm);
    const c = gaussianBlur(window, 1.2 * pxPerMm);
    for (let i = 0; i < a.data.length; i++) {
      fine += (a.data[i]! - b.data[i]!) ** 2;
      coarse += (b.data[i]! - c.data[i]!) ** 2;
    }
  }
  return coarse > 0 ? fine / coarse : 0;
}

const WINDOW_MM = 50;

function cut(plane: Plane, x: number, y: number, side: number): Plane {
  const out = makePlane(side, side);
  for (let v = 0; v < side; v++) {
    const from = (y + v) * plane.width + x;
    out.data.set(plane.data.subarray(from, from + side), v * side);
  }
  return out;
}
