import { type Flattening, imageXyPx } from './flattening.js';
import { type GreyImage, greyAt } from './grey-image.js';
import { RubbingError } from './rubbing-error.js';

/** The sheet seen square-on: grey, `pxPerMm` even in both directions. */
export interface RectifiedSheet {
  readonly width: number;
  readonly height: number;
  readonly pxPerMm: number;
  /** Panel place of the centre of pixel (0, 0). */
  readonly originMm: readonly [number, number];
  readonly data: Uint8Array;
  /** 1 where the picture shows the sheet; absent: everywhere. */
  readonly seen?: Uint8Array;
}

/** Rectified scale: a face of 4 mm covers 16 px, so edges averaged along 4 mm are found to 0.1 mm. */
export const RECTIFIED_PX_PER_MM = 4;
/** With fewer pixels across a face the rims of a came can no longer be told from its hollow. */
const MIN_PX_PER_FACE = 7.2;
/** The narrowest face where none is stated (common practice, no source). */
const NARROWEST_FACE_MM = 4;
/** Keeps the whole extraction of one sheet under 1 GiB. */
const MAX_RECTIFIED_PIXELS = 40e6;

const narrowestFaceMm = (faceWidthsInUseMm: readonly number[]): number =>
  Math.min(NARROWEST_FACE_MM, ...faceWidthsInUseMm);

/** Pixels to the millimetre that a picture of a rubbing needs, for both edges of the narrowest face to be seen. */
export const neededPxPerMm = (faceWidthsInUseMm: readonly number[] = []): number =>
  MIN_PX_PER_FACE / narrowestFaceMm(faceWidthsInUseMm);

/**
 * Resamples the image; each rectified pixel is the mean of as many bilinear samples as keep fine texture from aliasing.
 * The map is evaluated on a grid of 8 px and interpolated (error under 0.01 px for any plausible lens).
 * @throws RubbingError 'too-coarse', 'image-too-small'
 */
export function rectify(
  grey: GreyImage,
  flattening: Flattening,
  faceWidthsInUseMm: readonly number[] = [],
): RectifiedSheet {
  const [, , maxX, maxY] = flattening.extentMm;
  // on whole millimetres of the panel, so that a tap a pixel off does not shift the grid under the wax
  const minX = Math.floor(flattening.extentMm[0]);
  const minY = Math.floor(flattening.extentMm[1]);
  const faceMm = narrowestFaceMm(faceWidthsInUseMm);
  const needed = neededPxPerMm(faceWidthsInUseMm);
  if (flattening.imagePxPerMm < needed) {
    throw new RubbingError(
      'too-coarse',
      `The picture has ${flattening.imagePxPerMm.toFixed(1)} pixels to the millimetre; ${needed.toFixed(1)} are needed to see both edges of a ${faceMm} mm face. Photograph closer, in parts, or scan at 150 dpi or more.`,
      { pxPerMm: flattening.imagePxPerMm, neededPxPerMm: needed, faceMm },
    );
  }
  if (maxX - minX < 40 || maxY - minY < 40) {
    throw new RubbingError(
      'image-too-small',
      `Only ${(maxX - minX).toFixed(0)} × ${(maxY - minY).toFixed(0)} mm lie between the marks: a panel needs at least 40 mm each way. Check the measured places and their unit (mm).`,
      { widthMm: maxX - minX, heightMm: maxY - minY },
    );
  }
  const areaMm2 = (maxX - minX) * (maxY - minY);
  const pxPerMm = Math.min(RECTIFIED_PX_PER_MM, Math.sqrt(MAX_RECTIFIED_PIXELS / areaMm2));
  const width = Math.ceil((maxX - minX) * pxPerMm);
  const height = Math.ceil((maxY - minY) * pxPerMm);
  const data = new Uint8Array(width * height);
  const k = Math.max(1, Math.min(4, Math.round((flattening.imagePxPerMm / pxPerMm) * 0.8)));
  const cell = 8;
  const columns = Math.ceil(width / cell) + 2;
  const rowA = new Float64Array(2 * columns);
  const rowB = new Float64Array(2 * columns);
  const fill = (row: Float64Array, y: number): void => {
    for (let c = 0; c < columns; c++) {
      const [u, v] = imageXyPx(flattening, minX + (c * cell) / pxPerMm, minY + y / pxPerMm);
      row[2 * c] = u;
      row[2 * c + 1] = v;
    }
  };
  // every sample of a row: the grid's column before it and how far it lies on towards the next
  const samples = width * k;
  const columnOf = new Int32Array(samples);
  const shareOf = new Float64Array(samples);
  for (let s = 0; s < samples; s++) {
    const x = Math.max(0, Math.floor(s / k) + ((s % k) + 0.5) / k - 0.5);
    columnOf[s] = x / cell;
    shareOf[s] = x / cell - columnOf[s]!;
  }
  const across = new Float64Array(4 * samples);
  const sums = new Float64Array(width);
  let seen: Uint8Array | undefined;
  for (let y0 = 0; y0 < height; y0 += cell) {
    fill(rowA, y0);
    fill(rowB, y0 + cell);
    for (let c = 0; c * cell < width; c++) {
      const isIn = [rowA, rowB].every(
        (row) => inPicture(grey, row, c) && inPicture(grey, row, c + 1),
      );
      if (isIn) continue;
      seen ??= new Uint8Array(width * height).fill(1);
      for (let y = y0; y < Math.min(height, y0 + cell); y++) {
        seen.fill(0, y * width + c * cell, y * width + Math.min(width, (c + 1) * cell));
      }
    }
    for (let s = 0; s < samples; s++) {
      const a = 2 * columnOf[s]!;
      const f = shareOf[s]!;
      across[4 * s] = rowA[a]! + f * (rowA[a + 2]! - rowA[a]!);
      across[4 * s + 1] = rowA[a + 1]! + f * (rowA[a + 3]! - rowA[a + 1]!);
      across[4 * s + 2] = rowB[a]! + f * (rowB[a + 2]! - rowB[a]!);
      across[4 * s + 3] = rowB[a + 1]! + f * (rowB[a + 3]! - rowB[a + 1]!);
    }
    for (let y = y0; y < Math.min(height, y0 + cell); y++) {
      sums.fill(0);
      for (let j = 0; j < k; j++) {
        addSamples(sums, grey, across, k, (y - y0 + (j + 0.5) / k - 0.5) / cell);
      }
      for (let x = 0; x < width; x++) data[y * width + x] = sums[x]! / (k * k) + 0.5;
    }
  }
  return { width, height, pxPerMm, originMm: [minX, minY], data, ...(seen ? { seen } : {}) };
}

/**
 * Adds one row of samples to the sums of their pixels.
 * @param across per sample its place in the picture on the grid's rows above and below: x, y, x, y
 * @param k samples to a pixel
 * @param down how far the row lies from the grid's row above towards the one below
 */
function addSamples(
  sums: Float64Array,
  grey: GreyImage,
  across: Float64Array,
  k: number,
  down: number,
): void {
  const { width, height, data } = grey;
  for (let x = 0, s = 0; x < sums.length; x++) {
    let sum = sums[x]!;
    for (let i = 0; i < k; i++, s += 4) {
      const tu = across[s]!;
      const tv = across[s + 1]!;
      const u = tu + down * (across[s + 2]! - tu);
      const v = tv + down * (across[s + 3]! - tv);
      // as `greyAt`, without its care for the border: most of the work of a large picture is here
      if (u >= 0 && v >= 0 && u <= width - 1.001 && v <= height - 1.001) {
        const x0 = u | 0;
        const y0 = v | 0;
        const at = y0 * width + x0;
        const fx = u - x0;
        const a = data[at]! + fx * (data[at + 1]! - data[at]!);
        const b = data[at + width]! + fx * (data[at + width + 1]! - data[at + width]!);
        sum += a + (v - y0) * (b - a);
      } else sum += greyAt(grey, u, v);
    }
    sums[x] = sum;
  }
}

function inPicture(grey: GreyImage, row: Float64Array, c: number): boolean {
  const u = row[2 * c]!;
  const v = row[2 * c + 1]!;
  return u >= 0 && v >= 0 && u <= grey.width - 1 && v <= grey.height - 1;
}
