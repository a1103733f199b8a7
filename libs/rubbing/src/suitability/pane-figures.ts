/** Glass in its leads against the light: bright fields that black parts from one another. */
import { connectedComponents } from '#libs/raster';
import { type Flattening, imageXyPx } from '../flattening.js';
import type { RubbingImage } from '../sheet.js';

export interface PaneFigures {
  readonly panes: number;
  /** Share of the places between the marks that are black. */
  readonly blackShare: number;
}

/** A pane shows this much of itself at least. */
const LEAST_PANE_MM2 = 60;
const BLACK_BESIDE_BRIGHT = 0.3;

/** One place a square millimetre. */
export function paneFigures(image: RubbingImage, flattening: Flattening): PaneFigures {
  const [minX, minY, maxX, maxY] = flattening.extentMm;
  const columns = Math.max(1, Math.floor(maxX - minX));
  const rows = Math.max(1, Math.floor(maxY - minY));
  const brightness = new Float32Array(columns * rows);
  for (let r = 0; r < rows; r++) {
    for (let c = 0; c < columns; c++) {
      const [u, v] = imageXyPx(flattening, minX + c + 0.5, minY + r + 0.5);
      const x = Math.min(image.widthPx - 1, Math.max(0, Math.round(u)));
      const y = Math.min(image.heightPx - 1, Math.max(0, Math.round(v)));
      const i = 3 * (y * image.widthPx + x);
      brightness[r * columns + c] =
        0.3 * image.rgb[i]! + 0.59 * image.rgb[i + 1]! + 0.11 * image.rgb[i + 2]!;
    }
  }
  const bright = brightness.slice().sort()[Math.floor(0.8 * brightness.length)]!;
  const isPane = Uint8Array.from(brightness, (b) => (b > BLACK_BESIDE_BRIGHT * bright ? 1 : 0));
  const { labels, count } = connectedComponents(isPane, columns, rows, 4);
  const cells = new Uint32Array(count + 1);
  for (const l of labels) cells[l]!++;
  return {
    panes: cells.subarray(1).filter((n) => n >= LEAST_PANE_MM2).length,
    blackShare: cells[0]! / brightness.length,
  };
}
