/** How each picture lies on the panel, out of its flattening: for laying the original under the drawing. */
import type { XyMm } from '#libs/net';
import { type Flattening, imageXyPx } from './flattening.js';
import { fitHomography, invertHomography, project } from './homography.js';
import { onPanel, type PanelFrame } from './panel-frame.js';

export interface SheetPlacement {
  /**
   * Row-major 3 × 3: panel millimetres → pixels of the upright original. The plane map that comes nearest to the
   * flattening over the sheet: it has no lens term, so a distorted photograph lies off by what `residualMm` says.
   */
  readonly imageFromPanel: readonly number[];
  readonly points: readonly {
    readonly name: string;
    readonly imageXyPx: readonly [number, number];
    readonly panelXyMm: XyMm;
    readonly residualMm: number;
  }[];
  readonly rmsMm: number;
}

const GRID = 9;

/**
 * @param sheetFromJoined row-major 3 × 3 rigid map from the frame the drawing was read in to this sheet's own frame;
 * left out when they are one
 */
export function sheetPlacement(
  flattening: Flattening,
  frame: PanelFrame,
  sheetFromJoined: readonly number[] = [1, 0, 0, 0, 1, 0, 0, 0, 1],
): SheetPlacement {
  const joinedFromSheet = invertHomography(sheetFromJoined);
  const panelOf = (x: number, y: number): XyMm => onPanel(frame, project(joinedFromSheet, x, y));
  const panel: number[] = [];
  const pixels: number[] = [];
  const [minX, minY, maxX, maxY] = flattening.extentMm;
  for (let j = 0; j < GRID; j++) {
    for (let i = 0; i < GRID; i++) {
      const x = minX + ((maxX - minX) * i) / (GRID - 1);
      const y = minY + ((maxY - minY) * j) / (GRID - 1);
      panel.push(...panelOf(x, y));
      pixels.push(...imageXyPx(flattening, x, y));
    }
  }
  const imageFromPanel = fitHomography(panel, pixels);
  const panelFromImage = invertHomography(imageFromPanel);
  const points = flattening.marks.map(({ name, imageXyPx: px, panelXyMm }) => {
    const at = panelOf(panelXyMm[0], panelXyMm[1]);
    const [x, y] = project(panelFromImage, px[0], px[1]);
    return {
      name,
      imageXyPx: px,
      panelXyMm: at,
      residualMm: Math.hypot(x - at[0], y - at[1]),
    };
  });
  const square = points.reduce((s, p) => s + p.residualMm ** 2, 0);
  return {
    imageFromPanel,
    points,
    rmsMm: points.length === 0 ? 0 : Math.sqrt(square / points.length),
  };
}
