import { closing, gaussianBlur, makePlane, type Plane, percentileFilter } from '#libs/raster';
import type { RectifiedSheet } from './rectify.js';

/**
 * Wax density 0-1 at the sheet's own scale: 1 - grey / paper level, negative parts cut.
 *
 * The paper level is the 80th percentile within 9 mm at 1 px/mm, closed over 15 mm (wider than the widest face) and
 * blurred 8 mm: shadows, folds and stains go with it, leads do not.
 */
export function waxDensity(sheet: RectifiedSheet): Plane {
  const k = Math.max(1, Math.round(sheet.pxPerMm));
  const coarse = shrinkGrey(sheet, k);
  const rank = percentileFilter(coarse, 4, 0.8, 0, 255, 256);
  const level = gaussianBlur(closing(rank, 7), 8);
  const out = makePlane(sheet.width, sheet.height);
  const column = new Int32Array(sheet.width);
  const share = new Float64Array(sheet.width);
  for (let x = 0; x < sheet.width; x++) {
    const cx = Math.min(coarse.width - 1.001, Math.max(0, (x + 0.5) / k - 0.5));
    column[x] = cx;
    share[x] = cx - column[x]!;
  }
  for (let y = 0; y < sheet.height; y++) {
    const cy = Math.min(coarse.height - 1.001, Math.max(0, (y + 0.5) / k - 0.5));
    const y0 = cy | 0;
    const fy = cy - y0;
    for (let x = 0; x < sheet.width; x++) {
      const fx = share[x]!;
      const i = y0 * coarse.width + column[x]!;
      const a = level.data[i]! + fx * (level.data[i + 1]! - level.data[i]!);
      const j = i + coarse.width;
      const b = level.data[j]! + fx * (level.data[j + 1]! - level.data[j]!);
      const d = 1 - sheet.data[y * sheet.width + x]! / Math.max(8, a + fy * (b - a));
      out.data[y * sheet.width + x] = d > 0 ? d : 0;
    }
  }
  return out;
}

function shrinkGrey(sheet: RectifiedSheet, k: number): Plane {
  const width = Math.max(2, Math.floor(sheet.width / k));
  const height = Math.max(2, Math.floor(sheet.height / k));
  const out = makePlane(width, height);
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      let s = 0;
      for (let v = 0; v < k; v++) {
        for (let u = 0; u < k; u++) s += sheet.data[(y * k + v) * sheet.width + x * k + u]!;
      }
      out.data[y * width + x] = s / (k * k);
    }
  }
  return out;
}
