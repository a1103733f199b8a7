/** The view as a link tells it: `x,y,k`, the middle of the screen in mm of the wall and px a mm. */

import type { ToldView, WallView } from './wall-view.js';

export function viewWords({ k, tx, ty, width, height }: WallView): string {
  return [(width / 2 - tx) / k, (height / 2 - ty) / k]
    .map((mm) => Math.round(mm).toString())
    .concat(k.toPrecision(4))
    .join(',');
}

/** null when it is none. */
export function toldView(words: string | null): ToldView | null {
  const [xMm, yMm, k] = (words ?? '').split(',').map(Number);
  return Number.isFinite(xMm) && Number.isFinite(yMm) && k !== undefined && k > 0
    ? { xMm: xMm!, yMm: yMm!, k }
    : null;
}
