/** Where each window of each site stands on the wall, in mm: side by side on one sill line. */
import type { Box } from '../drawing/plane.js';
import { type Site, siteMark } from '../platform/api/sites.js';
import type { WindowRow } from '../platform/api/windows.js';
import { shapeOf, type WindowShape } from './window-shape.js';

/** A window as it is drawn on the wall. */
export interface HungWindow {
  readonly windowId: string;
  /** the word under its sill */
  readonly name: string;
  readonly shape: WindowShape;
  readonly xMm: number;
  readonly yMm: number;
}

/** Windows on one sill line. */
export interface HungRow {
  /** the words under the line */
  readonly name: string | null;
  readonly windows: readonly HungWindow[];
  readonly box: Box;
}

export interface StandingWindow extends HungWindow {
  readonly window: WindowRow;
  readonly site: Site;
}

export interface StandingSite extends HungRow {
  readonly site: Site;
  readonly windows: readonly StandingWindow[];
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
      const at = {
        windowId: window.windowId,
        name: window.mark,
        window,
        site,
        shape,
        xMm: x,
        yMm: sill - shape.heightMm,
      };
      x += shape.widthMm + gapMm;
      return at;
    });
    const box = { minX: 0, minY: top, maxX: drawn.length === 0 ? emptyMm : x - gapMm, maxY: sill };
    top = sill + Math.max(2600, height * 0.35);
    return { site, name: `${siteMark(site)} ${site.name}`, windows: standing, box };
  });
}

/** One window by itself. */
export const hangAlone = (shape: WindowShape, name: string): readonly HungRow[] => [
  {
    name: null,
    windows: [{ windowId: '', name, shape, xMm: 0, yMm: 0 }],
    box: { minX: 0, minY: 0, maxX: shape.widthMm, maxY: shape.heightMm },
  },
];

export const windowBox = (at: HungWindow): Box => ({
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
