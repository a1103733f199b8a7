/** QR codes (ISO/IEC 18004) as squares. */
import { encodeQR } from 'qr';

/** Light squares on each side. Source: ISO/IEC 18004, "quiet zone" (from memory). */
const QUIET = 4;

/**
 * Rows of dark (true) and light squares, the quiet zone with them.
 * @param text as bytes of UTF-8; level M, which mends about 15 % of the code
 */
export function qrRows(text: string): boolean[][] {
  return encodeQR(text, 'raw', { ecc: 'medium', encoding: 'byte', border: QUIET });
}

/** The dark squares as one path for SVG, one unit a square, each row's runs in one piece. */
export function qrPath(rows: readonly (readonly boolean[])[]): string {
  return runsOf(rows)
    .map(({ x, y, width }) => `M${x} ${y}h${width}v1h-${width}z`)
    .join('');
}

/** Runs of dark squares, row by row. */
export function runsOf(
  rows: readonly (readonly boolean[])[],
): { x: number; y: number; width: number }[] {
  const runs: { x: number; y: number; width: number }[] = [];
  rows.forEach((row, y) => {
    for (let x = 0; x < row.length; x++) {
      if (row[x] !== true) continue;
      let end = x;
      while (row[end] === true) end += 1;
      runs.push({ x, y, width: end - x });
      x = end;
    }
  });
  return runs;
}
