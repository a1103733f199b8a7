/** The offcut that is worth keeping: the largest upright rectangle of a sheet on which nothing lies. */
import type { RectangleMm } from './cutting.js';
import type { OpenSheet } from './open-sheet.js';

/** Columns that a sheet is looked at in; a rectangle is told to one of them. */
const COLUMNS = 200;

/**
 * Largest rectangle of zeros by heights of columns and a stack, one pass over bands and columns.
 * Source: the usual method for the largest rectangle under a histogram (from memory).
 */
export function freeRectangle(sheet: OpenSheet): RectangleMm | null {
  const { widthMm, heightMm, bandMm } = sheet;
  const columnMm = widthMm / COLUMNS;
  const heights = new Array<number>(COLUMNS).fill(0);
  let best: RectangleMm | null = null;
  const bands = Math.floor(heightMm / bandMm + 1e-6);
  for (let band = 0; band < bands; band++) {
    for (let c = 0; c < COLUMNS; c++) heights[c]! += 1;
    const taken = sheet.taken[band]!;
    for (let k = 0; k < taken.length; k += 2) {
      const from = Math.max(0, Math.floor(taken[k]! / columnMm + 1e-6));
      const to = Math.min(COLUMNS, Math.ceil(taken[k + 1]! / columnMm - 1e-6));
      for (let c = from; c < to; c++) heights[c] = 0;
    }
    for (const { from, to, bands: high } of rectanglesUnder(heights)) {
      const area = (to - from) * columnMm * high * bandMm;
      if (area <= (best === null ? 0 : best.widthMm * best.heightMm)) continue;
      best = {
        xMm: from * columnMm,
        yMm: (band + 1 - high) * bandMm,
        widthMm: (to - from) * columnMm,
        heightMm: high * bandMm,
      };
    }
  }
  return best;
}

function* rectanglesUnder(heights: readonly number[]) {
  const stack: { from: number; bands: number }[] = [];
  for (let c = 0; c <= heights.length; c++) {
    const here = heights[c] ?? 0;
    let from = c;
    while (stack.length > 0 && stack.at(-1)!.bands > here) {
      const top = stack.pop()!;
      yield { from: top.from, to: c, bands: top.bands };
      from = top.from;
    }
    if (here > 0 && stack.at(-1)?.bands !== here) stack.push({ from, bands: here });
  }
}
