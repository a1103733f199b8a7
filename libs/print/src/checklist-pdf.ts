/** Lists to be ticked by hand, on A4: marks to be read at arm's length, boxes for a thick pencil, black on white. */
import type { Checklist, ChecklistTable } from '#libs/records';
import { drawListed } from './checklist-drawing.js';
import { Flow, LEFT, PAGE_HEIGHT, RIGHT, WIDTH } from './page-flow.js';
import { INK, pt } from './paper.js';
import { closePdf, openPdf, type Pdf, putLine, strokeLine, type TextStyle } from './pdf-page.js';

/** side of a box, mm */
export const BOX_MM = 5;
const ROW_MM = { 1: 14, 3: 9 } as const;
const MARK_MM = { 1: 26, 3: 18 } as const;
const BOX_COLUMN_MM = { 1: 17, 3: 13.5 } as const;
const BLANK_MM = 11;

const mark: TextStyle = { font: 'sans-bold', sizePt: 16, colour: INK.text };
const words: TextStyle = { font: 'sans', sizePt: 9.5, colour: INK.text };
const small: TextStyle = { font: 'sans', sizePt: 8, colour: INK.text };
const heading: TextStyle = { font: 'serif-bold', sizePt: 12, colour: INK.text };

/** Bytes of the list. Identical input gives identical bytes. @param date of the file */
export async function checklistPdf(list: Checklist, date: Date): Promise<Uint8Array> {
  const doc = openPdf({
    title: `${list.mark}, ${list.title.toLowerCase()}`,
    subject: list.lead,
    date,
  });
  const flow = new Flow(doc);
  drawHead(flow, list);
  if (list.drawing !== null) drawListed(flow, list.drawing);
  for (const table of list.tables) drawTable(flow, table);
  for (const blank of list.blanks) drawBlank(flow, blank);
  drawFeet(doc, list);
  return closePdf(doc);
}

function drawHead(flow: Flow, list: Checklist): void {
  flow.title(list.mark, list.title, INK.text);
  flow.y += flow.text(list.lead, LEFT, flow.y, WIDTH, words) + 2;
  for (const caution of list.cautions) {
    flow.need(flow.height(caution, WIDTH, small));
    flow.y += flow.text(caution, LEFT, flow.y, WIDTH, small) + 1;
  }
  flow.y += 2;
}

function drawTable(flow: Flow, table: ChecklistTable): void {
  const { across, boxes, rows } = table;
  const rowMm = ROW_MM[across];
  const columnMm = WIDTH / across;
  const lines = Math.ceil(rows.length / across);
  drawColumns(flow, table, table.heading);
  for (let line = 0; line < lines; line++) {
    if (!flow.fits(rowMm)) {
      flow.newPage();
      drawColumns(flow, table, `${table.heading}, continued`);
    }
    strokeLine(
      flow.doc,
      [
        [LEFT, flow.y],
        [RIGHT, flow.y],
      ],
      { widthMm: 0.2, colour: INK.text },
    );
    for (let column = 0; column < across; column++) {
      // Down the columns, as a list is read.
      const row = rows[column * lines + line];
      if (row === undefined) continue;
      const left = LEFT + column * columnMm;
      putLine(flow.doc, row.mark, left, flow.y + (rowMm - 5.6) / 2, mark);
      row.words.forEach((text, at) => {
        putLine(flow.doc, text, left + MARK_MM[across], flow.y + 0.8 + at * 4.3, words);
      });
      boxes.forEach((_, at) => {
        const x = boxLeft(left + columnMm, across, boxes.length, at);
        flow.doc
          .rect(pt(x), pt(flow.y + (rowMm - BOX_MM) / 2), pt(BOX_MM), pt(BOX_MM))
          .lineWidth(pt(0.35))
          .strokeColor(INK.text)
          .stroke();
      });
    }
    flow.y += rowMm;
  }
  flow.y += 4;
}

/** The heading of a table and what its boxes mean, again on every page that it runs on to. */
function drawColumns(flow: Flow, { across, boxes }: ChecklistTable, text: string): void {
  flow.need(14 + 2 * ROW_MM[across]);
  putLine(flow.doc, text, LEFT, flow.y, heading);
  flow.y += 7;
  for (let column = 0; column < across; column++) {
    const right = LEFT + (column + 1) * (WIDTH / across);
    boxes.forEach((box, at) => {
      const middle = boxLeft(right, across, boxes.length, at) + BOX_MM / 2;
      const room = BOX_COLUMN_MM[across];
      flow.doc.font(small.font).fontSize(small.sizePt).fillColor(small.colour);
      const heightMm = flow.doc.heightOfString(box, { width: pt(room), align: 'center' }) / pt(1);
      flow.doc.text(box, pt(middle - room / 2), pt(flow.y + 7 - heightMm), {
        width: pt(room),
        align: 'center',
      });
    });
  }
  flow.y += 8;
}

/** Boxes stand at the right of their column, the last one at its edge. */
function boxLeft(rightMm: number, across: 1 | 3, boxes: number, at: number): number {
  const room = BOX_COLUMN_MM[across];
  const edge = across === 1 ? 0 : 4;
  return rightMm - edge - room * (boxes - at) + (room - BOX_MM) / 2;
}

function drawBlank(flow: Flow, label: string): void {
  flow.need(BLANK_MM);
  putLine(flow.doc, label, LEFT, flow.y + BLANK_MM - 5, words);
  const from = LEFT + flow.doc.font(words.font).fontSize(words.sizePt).widthOfString(label) / pt(1);
  const y = flow.y + BLANK_MM;
  if (from + 3 < RIGHT)
    strokeLine(
      flow.doc,
      [
        [from + 3, y],
        [RIGHT, y],
      ],
      { widthMm: 0.2, colour: INK.text },
    );
  flow.y = y + 1;
}

function drawFeet(doc: Pdf, list: Checklist): void {
  const { count } = doc.bufferedPageRange();
  for (let at = 0; at < count; at++) {
    doc.switchToPage(at);
    const y = PAGE_HEIGHT - 14;
    putLine(doc, `${list.mark}, ${list.title.toLowerCase()}`, LEFT, y, small);
    putLine(doc, `${at + 1} of ${count}`, LEFT, y, small, { widthMm: WIDTH, align: 'right' });
  }
}
