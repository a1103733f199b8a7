/** How a drawing is spread over sheets of paper at 1:1. */
import type { BoundsMm } from '#libs/net';
import { PAPER_MM, type PaperName } from './paper.js';

/** Printers leave up to 5 mm white (common practice, no source); the foot holds label and scale. */
export const MARGIN_MM = 8;
export const FOOT_MM = 13;

export interface Sheet {
  readonly name: string;
  readonly column: number;
  readonly row: number;
  /** Part of the drawing shown, mm in its frame. */
  readonly left: number;
  readonly top: number;
}

export interface Plan {
  readonly pageMm: readonly [number, number];
  readonly paper: PaperName;
  readonly windowMm: readonly [number, number];
  readonly columns: number;
  readonly rows: number;
  readonly overlapMm: number;
  readonly sheets: readonly Sheet[];
}

/** What of a page a drawing can use. */
export function windowOf([width, height]: readonly [number, number]): readonly [number, number] {
  return [width - 2 * MARGIN_MM, height - 2 * MARGIN_MM - FOOT_MM];
}

/**
 * Upright or lying, whichever takes fewer sheets; sheets lie centred over the drawing.
 *
 * @param overlapMm how much two neighbouring sheets show of each other
 */
export function planSheets(box: BoundsMm, paper: PaperName, overlapMm: number): Plan {
  // A little paper round the drawing, so that its edge is never at a sheet's edge.
  const [width, height] = [box.maxX - box.minX + 4, box.maxY - box.minY + 4];
  const [short, long] = PAPER_MM[paper];
  const plans = [[short, long] as const, [long, short] as const].map((pageMm) => {
    const windowMm = windowOf(pageMm);
    const count = (length: number, room: number) =>
      Math.max(1, Math.ceil((length - overlapMm) / (room - overlapMm)));
    return {
      pageMm,
      windowMm,
      columns: count(width, windowMm[0]),
      rows: count(height, windowMm[1]),
    };
  });
  const best = plans.reduce((a, b) => (b.columns * b.rows < a.columns * a.rows ? b : a));
  const [windowWidth, windowHeight] = best.windowMm;
  const coveredX = best.columns * (windowWidth - overlapMm) + overlapMm;
  const coveredY = best.rows * (windowHeight - overlapMm) + overlapMm;
  const startX = (box.minX + box.maxX - coveredX) / 2;
  const startY = (box.minY + box.maxY - coveredY) / 2;
  const sheets: Sheet[] = [];
  for (let row = 0; row < best.rows; row++) {
    for (let column = 0; column < best.columns; column++) {
      sheets.push({
        name: sheetName(column, row),
        column,
        row,
        left: startX + column * (windowWidth - overlapMm),
        top: startY + row * (windowHeight - overlapMm),
      });
    }
  }
  return { ...best, paper, overlapMm, sheets };
}

/** A1 is top left; rows after Z go on with AA. */
export function sheetName(column: number, row: number): string {
  const letter = (n: number): string =>
    n < 26 ? String.fromCharCode(65 + n) : letter(Math.floor(n / 26) - 1) + letter(n % 26);
  return `${letter(row)}${column + 1}`;
}

/** 'left A1 · below B2': what lies beside a sheet. */
export function neighbours(plan: Plan, { column, row }: Sheet): string {
  const parts: string[] = [];
  if (column > 0) parts.push(`left ${sheetName(column - 1, row)}`);
  if (column < plan.columns - 1) parts.push(`right ${sheetName(column + 1, row)}`);
  if (row > 0) parts.push(`above ${sheetName(column, row - 1)}`);
  if (row < plan.rows - 1) parts.push(`below ${sheetName(column, row + 1)}`);
  return parts.length === 0 ? 'the only sheet' : parts.join(' · ');
}
