import type { XyMm } from './net.js';

/**
 * Order of things on a panel: rows from the bottom (largest y), left to right in each row.
 *
 * A row begins with the lowest thing left and takes everything whose place is less than 0.45 of a
 * height above it (of its own height, or the median one when that is less, so that a tall border
 * piece does not swallow the panel). Ties go by x, then y. The rule is our own.
 *
 * @returns indices into `things`
 */
export function inRows(things: readonly { xyMm: XyMm; heightMm: number }[]): number[] {
  const heights = things.map((thing) => thing.heightMm).sort((a, b) => a - b);
  const median = heights[heights.length >> 1] ?? 0;
  const byY = things
    .map((_, i) => i)
    .sort(
      (a, b) => things[b]!.xyMm[1] - things[a]!.xyMm[1] || things[a]!.xyMm[0] - things[b]!.xyMm[0],
    );
  const order: number[] = [];
  for (let first = 0; first < byY.length; ) {
    const lowest = things[byY[first]!]!;
    const top = lowest.xyMm[1] - 0.45 * Math.min(lowest.heightMm, median);
    let last = first + 1;
    while (last < byY.length && things[byY[last]!]!.xyMm[1] > top) last++;
    order.push(
      ...byY
        .slice(first, last)
        .sort(
          (a, b) =>
            things[a]!.xyMm[0] - things[b]!.xyMm[0] || things[b]!.xyMm[1] - things[a]!.xyMm[1],
        ),
    );
    first = last;
  }
  return order;
}
