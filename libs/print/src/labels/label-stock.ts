/** What labels are printed on: sheets of A4 in a grid, or a roll of 62 mm, one label a page. */
import { PAPER_MM } from '../paper.js';

/** Common width of rolls for label printers: common practice, no source. */
export const ROLL_WIDTH_MM = 62;

export interface LabelStock {
  readonly kind: 'sheet' | 'roll';
  /** of one label as it is read; on a roll the width is the roll's */
  readonly widthMm: number;
  readonly heightMm: number;
}

/** Smaller ones hold no code that a camera reads; larger ones are posters. */
export const LABEL_MM = {
  leastWidth: 50,
  leastHeight: 25,
  mostWidth: 210,
  mostHeight: 297,
} as const;

export interface LabelPlace {
  readonly page: number;
  readonly leftMm: number;
  readonly topMm: number;
}

export interface LabelPlan {
  readonly pageMm: readonly [widthMm: number, heightMm: number];
  readonly labelMm: readonly [widthMm: number, heightMm: number];
  readonly columns: number;
  readonly rows: number;
  readonly places: readonly LabelPlace[];
}

/**
 * Where so many labels lie: as many on a sheet as there is room for, the grid in the middle of the paper.
 * @param skipped places of the first sheet that were used before
 */
export function planLabels(stock: LabelStock, count: number, skipped = 0): LabelPlan {
  const heightMm = clamp(stock.heightMm, LABEL_MM.leastHeight, LABEL_MM.mostHeight);
  if (stock.kind === 'roll') {
    return {
      pageMm: [ROLL_WIDTH_MM, heightMm],
      labelMm: [ROLL_WIDTH_MM, heightMm],
      columns: 1,
      rows: 1,
      places: Array.from({ length: count }, (_, page) => ({ page, leftMm: 0, topMm: 0 })),
    };
  }
  const widthMm = clamp(stock.widthMm, LABEL_MM.leastWidth, LABEL_MM.mostWidth);
  const [pageWidth, pageHeight] = PAPER_MM.A4;
  const columns = Math.floor(pageWidth / widthMm);
  const rows = Math.floor(pageHeight / heightMm);
  const [left, top] = [(pageWidth - columns * widthMm) / 2, (pageHeight - rows * heightMm) / 2];
  const perPage = columns * rows;
  const used = Math.min(Math.max(0, Math.floor(skipped)), perPage - 1);
  return {
    pageMm: PAPER_MM.A4,
    labelMm: [widthMm, heightMm],
    columns,
    rows,
    places: Array.from({ length: count }, (_, i) => {
      const at = (i + used) % perPage;
      return {
        page: Math.floor((i + used) / perPage),
        leftMm: left + (at % columns) * widthMm,
        topMm: top + Math.floor(at / columns) * heightMm,
      };
    }),
  };
}

const clamp = (value: number, least: number, most: number) =>
  Math.min(most, Math.max(least, value));
