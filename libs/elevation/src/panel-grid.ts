/** Panels of a window, from its drawing: which mark, which shape, where. */
import { type BoundsMm, boundsMm, ringAreaMm2, roundXy, type XyMm } from '#libs/net';
import { checkWindowDrawing } from './check-drawing.js';
import { openingRingMm, openingSizeMm } from './opening.js';
import { ringInBox } from './ring-in-box.js';
import type { Light, WindowDrawing } from './window-drawing.js';

export interface PanelPlace {
  /** '2b' in a light, 'A1' in the tracery. */
  readonly mark: string;
  /** Outline in the window's frame, clipped to the light; positive ring. */
  readonly ringMm: readonly XyMm[];
  /** Row from the bottom, 1 first; null in the tracery. */
  readonly row: number | null;
  /** Letter of the light's column; null in the tracery. */
  readonly column: string | null;
  readonly boundsMm: BoundsMm;
}

/**
 * All panels: lights row by row from the bottom and left to right, then the tracery.
 *
 * Rows are counted up from the sill of each light; the last row takes what is left of the head. A
 * cell that the light's shape leaves without glass (beside an arch) makes no panel.
 *
 * @throws {ElevationError} when the drawing cannot be a window
 */
export function panelGrid(drawing: WindowDrawing): PanelPlace[] {
  checkWindowDrawing(drawing);
  const inLights = drawing.lights
    .flatMap(lightPanels)
    .sort((a, b) => a.row! - b.row! || a.boundsMm.minX - b.boundsMm.minX);
  const inTracery = drawing.tracery.map(({ mark, xMm, yMm, opening }): PanelPlace => {
    const ringMm = openingRingMm(opening).map(([x, y]): XyMm => roundXy([x + xMm, y + yMm]));
    return { mark, ringMm, row: null, column: null, boundsMm: boundsMm(ringMm) };
  });
  return [...inLights, ...inTracery];
}

function lightPanels(light: Light): PanelPlace[] {
  const { widthMm, heightMm } = openingSizeMm(light.opening);
  const outline = openingRingMm(light.opening);
  const columns = light.columns ?? [{ letter: light.letter, widthMm }];
  const panels: PanelPlace[] = [];
  let bottom = heightMm;
  light.rowHeightsMm.forEach((rowMm, r) => {
    const isLast = r === light.rowHeightsMm.length - 1;
    const top = isLast ? 0 : bottom - rowMm;
    let left = 0;
    columns.forEach((column, c) => {
      const right = c === columns.length - 1 ? widthMm : left + column.widthMm;
      const rings = ringInBox(outline, { minX: left, minY: top, maxX: right, maxY: bottom });
      const ring = rings.reduce<XyMm[]>(
        (best, one) => (ringAreaMm2(one) > ringAreaMm2(best) ? one : best),
        [],
      );
      if (ringAreaMm2(ring) >= 1) {
        const ringMm = ring.map(([x, y]): XyMm => roundXy([x + light.xMm, y + light.yMm]));
        panels.push({
          mark: `${r + 1}${column.letter}`,
          ringMm,
          row: r + 1,
          column: column.letter,
          boundsMm: boundsMm(ringMm),
        });
      }
      left = right;
    });
    bottom = top;
  });
  return panels;
}
