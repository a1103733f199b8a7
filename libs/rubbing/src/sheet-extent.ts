/** How much of a flat scan is the sheet: beyond its edge lies the scanner's lid, dark, or light with a shadow. */
import type { GreyImage } from './grey-image.js';

/** The lid shows in a strip no wider than this; the panel is expected farther in. */
const STRIP_MM = 9;
/** Something this wide beside the picture's edge is a came, not the edge of the sheet. */
const CAME_MM = 7;
const MARGIN_MM = 2;
/** Paper is lighter than this share of its usual level, and not lighter than the other. */
const PAPER_LEAST = 0.9;
const PAPER_MOST = 1.09;
/** Darker than any came's mean: an open lid. */
export const DARK_LID = 0.35;
const DARK_LID_MOST_MM = 60;

/**
 * Millimetres to leave out at the left, top, right and bottom of the picture.
 *
 * Along each side the deepest millimetre that is not paper is looked for, on nine of ten lines from
 * the side inwards; a sheet that lies askew shows the lid at one end only.
 */
export function lidMm(grey: GreyImage, pxPerMm: number): [number, number, number, number] {
  const columns = Math.floor(grey.width / pxPerMm);
  const rows = Math.floor(grey.height / pxPerMm);
  const cells = cellMeans(grey, pxPerMm, columns, rows);
  const level = cells.slice().sort()[Math.floor(0.7 * cells.length)]!;
  const tone = (c: number, r: number): number =>
    cells[Math.min(rows - 1, Math.max(0, r)) * columns + Math.min(columns - 1, Math.max(0, c))]! /
    level;
  const depth = (lines: number, cellAt: (line: number, inwards: number) => number): number => {
    const deepest: number[] = [];
    for (let line = Math.ceil(0.05 * lines); line < 0.95 * lines; line++) {
      let start = 0;
      while (start < DARK_LID_MOST_MM && cellAt(line, start) < DARK_LID) start++;
      let last = start;
      let run = 0;
      for (let i = start; i < start + STRIP_MM; i++) {
        const v = cellAt(line, i);
        run = v >= PAPER_LEAST && v <= PAPER_MOST ? 0 : run + 1;
        if (run >= CAME_MM) {
          last = start;
          break;
        }
        if (run > 0) last = i + 1;
      }
      deepest.push(last);
    }
    deepest.sort((a, b) => a - b);
    return deepest[Math.floor(0.9 * deepest.length)]! + MARGIN_MM;
  };
  return [
    depth(rows, (line, i) => tone(i, line)),
    depth(columns, (line, i) => tone(line, i)),
    depth(rows, (line, i) => tone(columns - 1 - i, line)),
    depth(columns, (line, i) => tone(line, rows - 1 - i)),
  ];
}

/** Mean grey of each square millimetre, from every fourth pixel. */
function cellMeans(grey: GreyImage, pxPerMm: number, columns: number, rows: number): Float32Array {
  const cells = new Float32Array(columns * rows);
  for (let r = 0; r < rows; r++) {
    for (let c = 0; c < columns; c++) {
      let sum = 0;
      let n = 0;
      for (let y = Math.floor(r * pxPerMm); y < Math.floor((r + 1) * pxPerMm); y += 2) {
        for (let x = Math.floor(c * pxPerMm); x < Math.floor((c + 1) * pxPerMm); x += 2) {
          sum += grey.data[y * grey.width + x]!;
          n++;
        }
      }
      cells[r * columns + c] = sum / n;
    }
  }
  return cells;
}
