/** What every 1:1 sheet carries besides the drawing: cut marks, scale bar, check square, words. */
import type { XyMm } from '#libs/net';
import { INK, pt } from './paper.js';
import { type Pdf, putLine, strokeLine } from './pdf-page.js';
import { MARGIN_MM, type Plan, type Sheet } from './sheet-plan.js';

export const CHECK_MM = 100;

/** Short lines in the margins on the middle of each overlap, and a hair cross where two meet. */
export function drawCutMarks(doc: Pdf, plan: Plan, { column, row }: Sheet): void {
  const [width, height] = plan.windowMm;
  const half = plan.overlapMm / 2;
  const xs = [
    ...(column > 0 ? [MARGIN_MM + half] : []),
    ...(column < plan.columns - 1 ? [MARGIN_MM + width - half] : []),
  ];
  const ys = [
    ...(row > 0 ? [MARGIN_MM + half] : []),
    ...(row < plan.rows - 1 ? [MARGIN_MM + height - half] : []),
  ];
  const line = (x0: number, y0: number, x1: number, y1: number) => {
    const ends: XyMm[] = [
      [x0, y0],
      [x1, y1],
    ];
    strokeLine(doc, ends, { widthMm: 0.2, colour: INK.stain });
  };
  for (const x of xs) {
    line(x, MARGIN_MM - 4, x, MARGIN_MM - 0.5);
    line(x, MARGIN_MM + height + 0.5, x, MARGIN_MM + height + 3);
  }
  for (const y of ys) {
    line(MARGIN_MM - 4, y, MARGIN_MM - 0.5, y);
    line(MARGIN_MM + width + 0.5, y, MARGIN_MM + width + 4, y);
  }
  for (const x of xs) {
    for (const y of ys) {
      line(x - 2, y, x + 2, y);
      line(x, y - 2, x, y + 2);
    }
  }
}

/** Alternating tens, with its length in words. */
export function drawScaleBar(doc: Pdf, [x, y]: XyMm, lengthMm: number, isLarge: boolean): void {
  const height = isLarge ? 3 : 2;
  doc
    .rect(pt(x), pt(y), pt(lengthMm), pt(height))
    .lineWidth(pt(0.15))
    .strokeColor(INK.text)
    .stroke();
  for (let at = 0; at < lengthMm; at += 20) {
    doc.rect(pt(x + at), pt(y), pt(Math.min(10, lengthMm - at)), pt(height)).fill(INK.text);
  }
  const style = { font: 'sans', sizePt: isLarge ? 9 : 7, colour: INK.dim } as const;
  putLine(doc, '0', x, y + height + 1, style);
  putLine(doc, `${lengthMm} mm`, x, y + height + 1, style, { widthMm: lengthMm, align: 'right' });
}

/** A square of 100 mm to measure, with a large scale bar below. */
export function drawCheck(doc: Pdf, [x, y]: XyMm): void {
  doc
    .rect(pt(x), pt(y), pt(CHECK_MM), pt(CHECK_MM))
    .lineWidth(pt(0.2))
    .strokeColor(INK.text)
    .stroke();
  const middle = { widthMm: CHECK_MM, align: 'center' } as const;
  putLine(doc, '100 × 100 mm', x, y + 42, style('sans-bold', 14), middle);
  putLine(doc, 'Measure this before you cut.', x, y + 51, style('serif-bold', 11), middle);
  putLine(doc, 'both ways, within 0.5 mm', x, y + 58, style('sans', 9, INK.dim), middle);
  drawScaleBar(doc, [x, y + CHECK_MM + 6], 100, true);
}

/** Large words in a box of ink: nobody may take a mirrored sheet for a straight one. */
export function drawMirrorWords(
  doc: Pdf,
  [x, y]: XyMm,
  widthMm: number,
  sizePt: number,
  words: string,
): void {
  const heightMm = (sizePt / 72) * 25.4 * 1.5;
  doc.rect(pt(x), pt(y), pt(widthMm), pt(heightMm)).fill(INK.text);
  putLine(
    doc,
    words,
    x,
    y + heightMm * 0.14,
    { font: 'sans-bold', sizePt, colour: '#ffffff' },
    { widthMm, align: 'center' },
  );
}

export function style(
  font: 'sans' | 'sans-bold' | 'serif' | 'serif-bold',
  sizePt: number,
  colour: string = INK.text,
) {
  return { font, sizePt, colour };
}
