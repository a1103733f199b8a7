/** The cut list on A4: for each glass its pieces, and each sheet drawn with its pieces on it. */
import {
  assumptionsOf,
  type CutGlass,
  type CutList,
  type LaidPiece,
  type LaidSheet,
  sheetNumber,
  warningsOf,
} from '#libs/cutting';
import { labelPoint } from '#libs/net';
import { cautionsFor, cautionText, DEFERRAL } from '#libs/vocabulary';
import { BOTTOM, Flow, LEFT, PAGE_HEIGHT, TOP, WIDTH } from './page-flow.js';
import { INK, pt } from './paper.js';
import {
  closePdf,
  openPdf,
  type Pdf,
  putLine,
  strokeLine,
  type TextStyle,
  tracePath,
} from './pdf-page.js';

const words: TextStyle = { font: 'sans', sizePt: 9, colour: INK.text };
const small: TextStyle = { font: 'sans', sizePt: 8, colour: INK.dim };
const bold: TextStyle = { font: 'sans-bold', sizePt: 11, colour: INK.text };

const ROW_MM = 6.5;
/** Three columns of a mark, a size and the sheet that it lies on. */
const COLUMNS = 3;
const SHEET_HIGH_MM = 105;

/** Bytes of the list. Identical input gives identical bytes. @param date of the file */
export async function cutListPdf(list: CutList, date: Date): Promise<Uint8Array> {
  const doc = openPdf({ title: `${list.mark}, cut list`, subject: 'Glass as cut', date });
  const flow = new Flow(doc);
  flow.title(list.mark, 'Cut list', INK.text);
  const asOf = date.toISOString().slice(0, 10);
  const cautions = cautionsFor(['broken-glass']).map(
    (one) => `${one.hazard}: ${cautionText(one, null, asOf)}`,
  );
  for (const line of [...assumptionsOf(list), ...cautions, DEFERRAL, ...openLines(list)]) {
    flow.need(flow.height(line, WIDTH, small));
    flow.y += flow.text(line, LEFT, flow.y, WIDTH, small) + 0.8;
  }
  for (const glass of list.glasses) drawGlass(flow, glass);
  drawFeet(doc, list);
  return closePdf(doc);
}

function openLines({ unchosen, nothingToCut }: CutList): string[] {
  return [
    ...(unchosen.length === 0 ? [] : [`No glass is chosen yet for ${unchosen.join(', ')}.`]),
    ...(nothingToCut.length === 0 ? [] : [`Nothing is left to cut of ${nothingToCut.join(', ')}.`]),
  ];
}

function drawGlass(flow: Flow, glass: CutGlass): void {
  const name = [glass.name, glass.maker, glass.batch === null ? null : `batch ${glass.batch}`]
    .filter((part) => part !== null)
    .join(', ');
  flow.heading(name, 30);
  const told = [
    `${glass.colour}, ${glass.thicknessMm} mm. Sheet ${glass.sheetMm[0]} × ${glass.sheetMm[1]} mm. ${glass.pieces.length} pieces, ${(glass.areaMm2 / 1e6).toFixed(3)} m² as cut: ${glass.wholeSheets} whole sheets (at least ${glass.leastSheets} by area alone), ${glass.sheets.length - glass.wholeSheets} offcuts, ${Math.round(glass.wasteRatio * 100)} % of them in no piece. In stock: ${glass.inStock}.`,
    ...warningsOf(glass),
  ];
  for (const line of told) flow.y += flow.text(line, LEFT, flow.y, WIDTH, words) + 0.8;
  flow.y += 1.5;
  drawPieces(flow, glass);
  for (const [i, sheet] of glass.sheets.entries()) drawSheet(flow, sheet, i + 1, glass);
}

function drawPieces(flow: Flow, glass: CutGlass): void {
  const { pieces } = glass;
  const columnMm = WIDTH / COLUMNS;
  for (let i = 0; i < pieces.length; i += COLUMNS) {
    flow.need(ROW_MM);
    flow.rule();
    for (const [k, row] of pieces.slice(i, i + COLUMNS).entries()) {
      const x = LEFT + k * columnMm;
      const sheet = sheetNumber(glass, row.piece);
      flow.doc.rect(pt(x), pt(flow.y + 1.4), pt(3.2), pt(3.2)).lineWidth(pt(0.25));
      flow.doc.strokeColor(INK.text).stroke();
      putLine(flow.doc, row.piece, x + 5, flow.y + 1.1, bold);
      const size = `${row.cutSizeMm[0].toFixed(1)} × ${row.cutSizeMm[1].toFixed(1)}`;
      putLine(flow.doc, size, x + 18, flow.y + 1.5, words);
      putLine(flow.doc, sheet === '' ? '' : `sheet ${sheet}`, x + 43, flow.y + 1.7, small);
    }
    flow.y += ROW_MM;
  }
  flow.y += 3;
}

function drawSheet(flow: Flow, sheet: LaidSheet, number: number, { grain }: CutGlass): void {
  const scale = Math.max(sheet.widthMm / WIDTH, sheet.heightMm / SHEET_HIGH_MM);
  const [wide, high] = [sheet.widthMm / scale, sheet.heightMm / scale];
  flow.need(Math.min(high + 12, BOTTOM - TOP));
  const kind = sheet.isOffcut ? 'offcut' : 'whole sheet';
  const streaks = {
    'along-height': ', streaks upright',
    'along-width': ', streaks across',
    none: '',
  };
  const head = `Sheet ${number}, ${kind}: ${sheet.widthMm} × ${sheet.heightMm} mm${streaks[grain]}. 1 : ${scale.toFixed(1)}${offcutWords(sheet)}`;
  putLine(flow.doc, head, LEFT, flow.y, words);
  flow.y += 5;
  const place = ([x, y]: readonly [number, number]): [number, number] => [
    LEFT + x / scale,
    flow.y + y / scale,
  ];
  flow.doc.rect(pt(LEFT), pt(flow.y), pt(wide), pt(high)).lineWidth(pt(0.4));
  flow.doc.strokeColor(INK.text).stroke();
  drawOffcut(flow.doc, sheet, place);
  for (const piece of sheet.pieces) drawPiece(flow.doc, piece, place, scale);
  flow.y += high + 6;
}

function offcutWords({ offcut }: LaidSheet): string {
  if (offcut === null) return '';
  return `. Left over: ${Math.floor(offcut.widthMm)} × ${Math.floor(offcut.heightMm)} mm`;
}

function drawOffcut(
  pdf: Pdf,
  { offcut }: LaidSheet,
  place: (xyMm: readonly [number, number]) => [number, number],
): void {
  if (offcut === null) return;
  const { xMm, yMm, widthMm, heightMm } = offcut;
  const corners = [
    [xMm, yMm],
    [xMm + widthMm, yMm],
    [xMm + widthMm, yMm + heightMm],
    [xMm, yMm + heightMm],
    [xMm, yMm],
  ] as const;
  strokeLine(pdf, corners.map(place), { widthMm: 0.2, colour: INK.dim });
}

function drawPiece(
  pdf: Pdf,
  { piece, ringMm }: LaidPiece,
  place: (xyMm: readonly [number, number]) => [number, number],
  scale: number,
): void {
  tracePath(pdf, ringMm.map(place), true);
  pdf.lineWidth(pt(0.25)).fillAndStroke('#efece4', INK.text);
  const label = labelPoint([[...ringMm]]);
  const [x, y] = place(label.xyMm);
  const sizePt = Math.max(4, Math.min(11, pt((label.radiusMm / scale) * 1.1)));
  putLine(
    pdf,
    piece,
    x - 10,
    y - sizePt * 0.2,
    { font: 'sans-bold', sizePt, colour: INK.text },
    { widthMm: 20, align: 'center' },
  );
}

function drawFeet(pdf: Pdf, { mark, revision }: CutList): void {
  const { count } = pdf.bufferedPageRange();
  for (let page = 0; page < count; page++) {
    pdf.switchToPage(page);
    const y = PAGE_HEIGHT - 13;
    putLine(pdf, `${mark} · cut list · drawing ${revision}`, LEFT, y, small);
    putLine(pdf, `${page + 1} of ${count}`, LEFT, y, small, { widthMm: WIDTH, align: 'right' });
  }
}
