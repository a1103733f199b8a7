/** What is left of a scanner's dark lid beside a sheet that lies askew: dark, without wax's grain, and at the border. */
import { connectedComponents } from '#libs/raster';
import type { RectifiedSheet } from './rectify.js';
import { DARK_LID } from './sheet-extent.js';

/** Round the lid the sheet's own edge throws a shadow this wide. */
const SHADOW_MM = 1.5;

/** The same sheet with the lid made paper and marked as not seen; the sheet itself where there is no lid. */
export function withoutLid(flat: RectifiedSheet): RectifiedSheet {
  const k = Math.max(1, Math.round(flat.pxPerMm));
  const columns = Math.ceil(flat.width / k);
  const rows = Math.ceil(flat.height / k);
  const cells = cellMeans(flat, k, columns, rows);
  const level = cells.slice().sort()[Math.floor(0.7 * cells.length)]!;
  const dark = new Uint8Array(cells.length);
  for (let i = 0; i < cells.length; i++) dark[i] = cells[i]! < DARK_LID * level ? 1 : 0;
  const { labels } = connectedComponents(dark, columns, rows, 8);
  const isLid = new Set<number>();
  for (let c = 0; c < columns; c++) isLid.add(labels[c]!).add(labels[(rows - 1) * columns + c]!);
  for (let r = 0; r < rows; r++)
    isLid.add(labels[r * columns]!).add(labels[r * columns + columns - 1]!);
  isLid.delete(0);
  if (isLid.size === 0) return flat;
  const data = flat.data.slice();
  const seen = flat.seen?.slice() ?? new Uint8Array(data.length).fill(1);
  const reach = Math.ceil(SHADOW_MM);
  for (let r = 0; r < rows; r++) {
    for (let c = 0; c < columns; c++) {
      if (!touchesLid(labels, isLid, c, r, columns, rows, reach)) continue;
      for (let y = r * k; y < Math.min(flat.height, (r + 1) * k); y++) {
        const from = y * flat.width + c * k;
        const to = y * flat.width + Math.min(flat.width, (c + 1) * k);
        data.fill(level, from, to);
        seen.fill(0, from, to);
      }
    }
  }
  return { ...flat, data, seen };
}

function touchesLid(
  labels: Int32Array,
  isLid: ReadonlySet<number>,
  c: number,
  r: number,
  columns: number,
  rows: number,
  reach: number,
): boolean {
  for (let y = Math.max(0, r - reach); y <= Math.min(rows - 1, r + reach); y++) {
    for (let x = Math.max(0, c - reach); x <= Math.min(columns - 1, c + reach); x++) {
      if (labels[y * columns + x]! !== 0 && isLid.has(labels[y * columns + x]!)) return true;
    }
  }
  return false;
}

function cellMeans(flat: RectifiedSheet, k: number, columns: number, rows: number): Float32Array {
  const cells = new Float32Array(columns * rows);
  for (let r = 0; r < rows; r++) {
    for (let c = 0; c < columns; c++) {
      let sum = 0;
      let n = 0;
      for (let y = r * k; y < Math.min(flat.height, (r + 1) * k); y++) {
        for (let x = c * k; x < Math.min(flat.width, (c + 1) * k); x++) {
          sum += flat.data[y * flat.width + x]!;
          n++;
        }
      }
      cells[r * columns + c] = sum / n;
    }
  }
  return cells;
}
