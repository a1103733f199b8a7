/** Where each window of each site stands on the wall, in mm: side by side on one sill line. */
import type { Box } from '../drawing/plane.js';
import type { Site } from '../platform/api/sites.js';
import type { WindowRow } from '../platform/api/windows.js';
import { shapeOf, type WindowShape } from './window-shape.js';

export interface StandingWindow {
  readonly window: WindowRow;
  readonly site: Site;
  readonly shape: WindowShape;
  readonly xMm: number;
  readonly yMm: number;
}

export interface StandingSite {
  readonly site: Site;
  readonly windows: readonly StandingWindow[];
  readonly box: Box;
}

const gapMm = 1300;
const emptyMm = 3000;

export function standUp(
  sites: readonly { readonly site: Site; readonly windows: readonly WindowRow[] }[],
): readonly StandingSite[] {
  let top = 0;
  return sites.map(({ site, windows }) => {
    const drawn = windows.flatMap((window) => {
      const shape = shapeOf(window.drawing);
      return shape ? [{ window, shape }] : [];
    });
    const height =
      drawn.length === 0 ? emptyMm : Math.max(...drawn.map(({ shape }) => shape.heightMm));
    const sill = top + height;
    let x = 0;
    const standing = drawn.map(({ window, shape }) => {
      const at = { window, site, shape, xMm: x, yMm: sill - shape.heightMm };
      x += shape.widthMm + gapMm;
      return at;
    });
    const box = { minX: 0, minY: top, maxX: drawn.length === 0 ? emptyMm : x - gapMm, maxY: sill };
    top = sill + Math.max(2600, height * 0.35);
    return { site, windows: standing, box };
  });
}

export const windowBox = (at: StandingWindow): Box => ({
  minX: at.xMm,
  minY: at.yMm,
  maxX: at.xMm + at.shape.widthMm,
  maxY: at.yMm + at.shape.heightMm,
});

export function boxAround(boxes: readonly Box[]): Box {
  return {
    minX: Math.min(...boxes.map((box) => box.minX)),
    minY: Math.min(...boxes.map((box) => box.minY)),
    maxX: Math.max(...boxes.map((box) => box.maxX)),
    maxY: Math.max(...boxes.map((box) => box.maxY)),
  };
}
