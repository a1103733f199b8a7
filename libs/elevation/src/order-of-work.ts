/**
 * In which order panels come out of a window and go back: out from the top down, back from the bottom
 * up, since a panel stands on the ones below it. Common practice, no source.
 */
import { type PanelPlace, panelGrid } from './panel-grid.js';
import type { WindowDrawing } from './window-drawing.js';

export interface PanelBearing {
  /** '2b' in a light, 'A1' in the tracery */
  readonly mark: string;
  /** marks of the panels right under it in its light; none: it stands on the sill or in its own stone */
  readonly bearsOn: readonly string[];
  /** marks of the panels right on top of it */
  readonly carries: readonly string[];
  readonly isTracery: boolean;
}

/** Edges of panels are drawn where they meet; less than this apart they touch. */
const TOUCH_MM = 1;

/**
 * Every panel in the order of removal: the highest top edge first, on one height from the left. A panel
 * always comes after all that stand on it. Each tracery opening is glazed into stone of its own, so its
 * panel bears on no other; it has its turn by its height, so that nothing is worked on above open glass.
 *
 * @throws {ElevationError} when the drawing cannot be a window
 */
export function removalOrder(drawing: WindowDrawing): PanelBearing[] {
  return bearings(drawing, (a, b) => a.minY - b.minY || a.minX - b.minX);
}

/** Every panel in the order of refixing: the lowest bottom edge first, on one height from the left. */
export function refixingOrder(drawing: WindowDrawing): PanelBearing[] {
  return bearings(drawing, (a, b) => b.maxY - a.maxY || a.minX - b.minX);
}

function bearings(
  drawing: WindowDrawing,
  inTurn: (a: PanelPlace['boundsMm'], b: PanelPlace['boundsMm']) => number,
): PanelBearing[] {
  const panels = panelGrid(drawing);
  const under = new Map(panels.map((panel) => [panel, panels.filter((o) => standsOn(panel, o))]));
  return panels
    .toSorted((a, b) => inTurn(a.boundsMm, b.boundsMm))
    .map((panel) => ({
      mark: panel.mark,
      bearsOn: under.get(panel)!.map(({ mark }) => mark),
      carries: panels.filter((o) => under.get(o)!.includes(panel)).map(({ mark }) => mark),
      isTracery: panel.row === null,
    }));
}

/**
 * Panels that stand on this one, near or far, and are in their opening: taking it out leaves them
 * without hold. Nearest first.
 *
 * @param isIn whether the panel of a mark stands in its opening
 */
export function stillOnTop(
  order: readonly PanelBearing[],
  mark: string,
  isIn: (mark: string) => boolean,
): string[] {
  return beyond(order, mark, ({ carries }) => carries).filter(isIn);
}

/** Panels that this one stands on, near or far, and are not in their opening yet. Nearest first. */
export function notYetBelow(
  order: readonly PanelBearing[],
  mark: string,
  isIn: (mark: string) => boolean,
): string[] {
  return beyond(order, mark, ({ bearsOn }) => bearsOn).filter((one) => !isIn(one));
}

function beyond(
  order: readonly PanelBearing[],
  mark: string,
  next: (panel: PanelBearing) => readonly string[],
): string[] {
  const byMark = new Map(order.map((panel) => [panel.mark, panel]));
  const found = new Set<string>();
  const walk = [mark];
  for (const at of walk)
    for (const one of next(
      byMark.get(at) ?? { mark: at, bearsOn: [], carries: [], isTracery: false },
    ))
      if (!found.has(one)) {
        found.add(one);
        walk.push(one);
      }
  return [...found];
}

/** In one light, edge on edge, over more than a touch of their width. */
function standsOn(upper: PanelPlace, lower: PanelPlace): boolean {
  if (upper.row === null || lower.row !== upper.row - 1) return false;
  const overlapMm =
    Math.min(upper.boundsMm.maxX, lower.boundsMm.maxX) -
    Math.max(upper.boundsMm.minX, lower.boundsMm.minX);
  return overlapMm > TOUCH_MM && Math.abs(upper.boundsMm.maxY - lower.boundsMm.minY) <= TOUCH_MM;
}
