/** One label: code, mark, which way is up, which face it lies on, weight when it is known. */
import { INK, pt } from '../paper.js';
import { type FontName, type Pdf, putLine } from '../pdf-page.js';
import { qrRows, runsOf } from '../qr-code.js';

export interface Label {
  /** what a camera reads: the mark, or an address that ends in it */
  readonly code: string;
  /** 'SLM.wI': the dim line above */
  readonly above: string;
  /** '2b.17': as large as there is room */
  readonly name: string;
  /** 'this side is the inside face'; empty: none is said */
  readonly face: string;
  /** weight, size, what it holds, the most needed first */
  readonly facts: readonly string[];
  /** how it may be fixed, what must not be done */
  readonly caution: string;
}

type Box = readonly [leftMm: number, topMm: number, widthMm: number, heightMm: number];

/** Printers of rolls and sheets leave an edge. */
const INSET_MM = 3;
const ARROW_MM = 7;
/** A square of the code this wide is read by a phone at arm's length: common practice, no source. */
const LEAST_SQUARE_MM = 0.4;
const GAP_MM = 2.5;

export function drawLabel(doc: Pdf, label: Label, [left, top, width, height]: Box): void {
  const [x, y] = [left + INSET_MM, top + INSET_MM];
  const [w, h] = [width - 2 * INSET_MM, height - 2 * INSET_MM];
  const rows = qrRows(label.code);
  const isUpright = h > w * 0.9;
  const least = rows.length * LEAST_SQUARE_MM;
  const sideMm = isUpright
    ? Math.max(least, Math.min(w - ARROW_MM - GAP_MM, h * 0.45))
    : Math.max(least, Math.min(h, w * 0.42));
  drawCode(doc, rows, x, y, sideMm);
  const arrowX = x + w - ARROW_MM;
  drawUp(doc, arrowX, y, isUpright ? sideMm : h);
  const words: Box = isUpright
    ? [x, y + sideMm + GAP_MM, w, h - sideMm - GAP_MM]
    : [x + sideMm + GAP_MM, y, w - sideMm - ARROW_MM - 2 * GAP_MM, h];
  drawWords(doc, label, words);
}

function drawCode(doc: Pdf, rows: boolean[][], x: number, y: number, sideMm: number): void {
  const cellMm = sideMm / rows.length;
  for (const run of runsOf(rows))
    doc.rect(pt(x + run.x * cellMm), pt(y + run.y * cellMm), pt(run.width * cellMm), pt(cellMm));
  doc.fill('#000000');
}

/** An arrow to the top of the panel, with its word: a label is turned over more easily than a panel. */
function drawUp(doc: Pdf, x: number, y: number, roomMm: number): void {
  const tall = Math.min(roomMm, 26);
  const middle = x + ARROW_MM / 2;
  const head = Math.min(7, tall * 0.4);
  doc
    .moveTo(pt(middle), pt(y))
    .lineTo(pt(x + ARROW_MM), pt(y + head))
    .lineTo(pt(middle + 1.3), pt(y + head))
    .lineTo(pt(middle + 1.3), pt(y + tall - 4.5))
    .lineTo(pt(middle - 1.3), pt(y + tall - 4.5))
    .lineTo(pt(middle - 1.3), pt(y + head))
    .lineTo(pt(x), pt(y + head))
    .closePath()
    .fill('#000000');
  const style = { font: 'sans-bold', sizePt: 8, colour: '#000000' } as const;
  putLine(doc, 'UP', x - 3, y + tall - 3.4, style, { widthMm: ARROW_MM + 6, align: 'center' });
}

function drawWords(doc: Pdf, label: Label, [x, y, w, h]: Box): void {
  // Larger labels are read from farther off.
  const body = Math.min(13, Math.max(8.5, h * 0.2));
  const lines: { text: string; font: FontName; sizePt: number; isNeeded: boolean }[] = [
    { text: label.above, font: 'sans', sizePt: body + 0.5, isNeeded: true },
    { text: label.name, font: 'sans-bold', sizePt: Math.min(40, h * 0.9), isNeeded: true },
    { text: label.face, font: 'sans-bold', sizePt: body, isNeeded: true },
    ...label.facts.map((text) => ({ text, font: 'sans' as const, sizePt: body, isNeeded: false })),
    { text: label.caution, font: 'sans', sizePt: body * 0.76, isNeeded: false },
  ];
  let at = y;
  for (const { text, font, sizePt, isNeeded } of lines.filter((line) => line.text !== '')) {
    const fitted = fitPt(doc, text, font, sizePt, w);
    const lineMm = (fitted / 72) * 25.4 * 1.18;
    // What does not fit is left out from the end; the mark and the face are always there.
    if (!isNeeded && at + lineMm > y + h + 0.2) continue;
    putLine(doc, text, x, at, { font, sizePt: fitted, colour: INK.text });
    at += lineMm;
  }
}

/** The size at which a line is no wider than its room. */
function fitPt(doc: Pdf, text: string, font: FontName, sizePt: number, widthMm: number): number {
  const width = doc.font(font).fontSize(sizePt).widthOfString(text);
  return Math.min(sizePt, (sizePt * pt(widthMm)) / width);
}
