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
    for (let y = y0; y < Math.min(height, y0 + cell); y++) {
      for (let x = 0; x < width; x++) {
        let sum = 0;
        for (let j = 0; j < k; j++) {
          const fy = (y - y0 + (j + 0.5) / k - 0.5) / cell;
          for (let i = 0; i < k; i++) {
            const gx = Math.max(0, x + (i + 0.5) / k - 0.5);
            const c = (gx / cell) | 0;
            const fx = gx / cell - c;
            const a = 2 * c;
            const tu = rowA[a]! + fx * (rowA[a + 2]! - rowA[a]!);
            const tv = rowA[a + 1]! + fx * (rowA[a + 3]! - rowA[a + 1]!);
            const bu = rowB[a]! + fx * (rowB[a + 2]! - rowB[a]!);
            const bv = rowB[a + 1]! + fx * (rowB[a + 3]! - rowB[a + 1]!);
            sum += greyAt(grey, tu + fy * (bu - tu), tv + fy * (bv - tv));
          }
        }
        data[y * width + x] = sum / (k * k) + 0.5;
      }
    }
  }
  return { width, height, pxPerMm, originMm: [minX, minY], data, ...(seen ? { seen } : {}) };
}

function inPicture(grey: GreyImage, row: Float64Array, c: number): boolean {
  const u = row[2 * c]!;
  const v = row[2 * c + 1]!;
  return u >= 0 && v >= 0 && u <= grey.width - 1 && v <= grey.height - 1;
}
