/** Labels as PDF, true to scale: a grid on A4 with lines to cut on, or a roll with one label a page. */
import { INK, pt } from '../paper.js';
import { closePdf, openPdf, type Pdf, strokeLine } from '../pdf-page.js';
import { FIXED_DATE } from '../sheet-foot.js';
import { drawLabel, type Label } from './draw-label.js';
import { type LabelPlan, type LabelStock, planLabels } from './label-stock.js';

export interface LabelsPdfOptions {
  readonly title: string;
  readonly stock: LabelStock;
  /** places of the first sheet that were used before */
  readonly skipped?: number;
  /** Fine lines to cut on between labels of a sheet; none for sheets that are cut already. */
  readonly cutLines?: boolean;
}

/** Bytes of the PDF. Identical input gives identical bytes. */
export async function labelsPdf(
  labels: readonly Label[],
  { title, stock, skipped = 0, cutLines = true }: LabelsPdfOptions,
): Promise<Uint8Array> {
  const doc = openPdf({
    title,
    date: FIXED_DATE,
    subject: 'Labels; print at 100 %, “actual size”, never “fit to page”.',
  });
  const plan = planLabels(stock, labels.length, skipped);
  const [pageWidth, pageHeight] = plan.pageMm;
  let page = -1;
  labels.forEach((label, i) => {
    const place = plan.places[i]!;
    if (place.page !== page) {
      page = place.page;
      doc.addPage({ size: [pt(pageWidth), pt(pageHeight)], margin: 0 });
      if (stock.kind === 'sheet' && cutLines) drawCutLines(doc, plan);
    }
    drawLabel(doc, label, [place.leftMm, place.topMm, ...plan.labelMm]);
  });
  return closePdf(doc);
}

/** Along every edge of the grid that is not the paper's own. */
function drawCutLines(doc: Pdf, { pageMm, labelMm, columns, rows }: LabelPlan): void {
  const [left, top] = [(pageMm[0] - columns * labelMm[0]) / 2, (pageMm[1] - rows * labelMm[1]) / 2];
  const [right, bottom] = [left + columns * labelMm[0], top + rows * labelMm[1]];
  const style = { widthMm: 0.1, colour: INK.dim, dashMm: [1, 1] };
  const isInside = (at: number, end: number) => at > 0.5 && at < end - 0.5;
  for (let column = 0; column <= columns; column++) {
    const x = left + column * labelMm[0];
    if (isInside(x, pageMm[0]))
      strokeLine(
        doc,
        [
          [x, top],
          [x, bottom],
        ],
        style,
      );
  }
  for (let row = 0; row <= rows; row++) {
    const y = top + row * labelMm[1];
    if (isInside(y, pageMm[1]))
      strokeLine(
        doc,
        [
          [left, y],
          [right, y],
        ],
        style,
      );
  }
}
