/** Lists to be ticked by hand, on A4: marks to be read at arm's length, boxes for a thick pencil, black on white. */
import type { Checklist, ChecklistTable } from '#libs/records';
import { INK, PAPER_MM, pt } from './paper.js';
import { closePdf, openPdf, type Pdf, putLine, strokeLine, type TextStyle } from './pdf-page.js';

const [PAGE_WIDTH, PAGE_HEIGHT] = PAPER_MM.A4;
const LEFT = 18;
const RIGHT = PAGE_WIDTH - 16;
const WIDTH = RIGHT - LEFT;
const TOP = 18;
const BOTTOM = PAGE_HEIGHT - 20;
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
  const page = new Page(doc);
  drawHead(page, list);
  for (const table of list.tables) drawTable(page, table);
  for (const blank of list.blanks) drawBlank(page, blank);
  drawFeet(doc, list);
  return closePdf(doc);
}

/** The place on the page where the next thing goes, in mm. */
class Page {
  y = TOP;
  constructor(readonly doc: Pdf) {
    this.begin();
  }
  begin(): void {
    this.doc.addPage({ size: [pt(PAGE_WIDTH), pt(PAGE_HEIGHT)], margin: 0 });
    this.y = TOP;
  }
  fits(heightMm: number): boolean {
    return this.y + heightMm <= BOTTOM;
  }
  wrapped(text: string, style: TextStyle): void {
    this.doc.font(style.font).fontSize(style.sizePt).fillColor(style.colour);
    const heightMm = this.doc.heightOfString(text, { width: pt(WIDTH) }) / pt(1);
    if (!this.fits(heightMm)) this.begin();
    this.doc.font(style.font).fontSize(style.sizePt).fillColor(style.colour);
    this.doc.text(text, pt(LEFT), pt(this.y), { width: pt(WIDTH) });
    this.y += heightMm + 1;
  }
}

function drawHead(page: Page, list: Checklist): void {
  putLine(page.doc, list.mark, LEFT, TOP, { font: 'sans-bold', sizePt: 26, colour: INK.text });
  putLine(page.doc, list.title, LEFT, TOP + 12, { font: 'serif', sizePt: 14, colour: INK.text });
  page.y = TOP + 20;
  page.wrapped(list.lead, words);
  page.y += 1;
  for (const caution of list.cautions) page.wrapped(caution, small);
  page.y += 2;
}

function drawTable(page: Page, table: ChecklistTable): void {
  const { across, boxes, rows } = table;
  const rowMm = ROW_MM[across];
  const columnMm = WIDTH / across;
  const lines = Math.ceil(rows.length / across);
  drawColumns(page, table, table.heading);
  for (let line = 0; line < lines; line++) {
    if (!page.fits(rowMm)) {
      page.begin();
      drawColumns(page, table, `${table.heading}, continued`);
    }
    strokeLine(
      page.doc,
      [
        [LEFT, page.y],
        [RIGHT, page.y],
      ],
      { widthMm: 0.2, colour: INK.text },
    );
    for (let column = 0; column < across; column++) {
      // Down the columns, as a list is read.
      const row = rows[column * lines + line];
      if (row === undefined) continue;
      const left = LEFT + column * columnMm;
      putLine(page.doc, row.mark, left, page.y + (rowMm - 5.6) / 2, mark);
      row.words.forEach((text, at) => {
        putLine(page.doc, text, left + MARK_MM[across], page.y + 0.8 + at * 4.3, words);
      });
      boxes.forEach((_, at) => {
        const x = boxLeft(left + columnMm, across, boxes.length, at);
        page.doc
          .rect(pt(x), pt(page.y + (rowMm - BOX_MM) / 2), pt(BOX_MM), pt(BOX_MM))
          .lineWidth(pt(0.35))
          .strokeColor(INK.text)
          .stroke();
      });
    }
    page.y += rowMm;
  }
  page.y += 4;
}

/** The heading of a table and what its boxes mean, again on every page that it runs on to. */
function drawColumns(page: Page, { across, boxes }: ChecklistTable, text: string): void {
  if (!page.fits(14 + 2 * ROW_MM[across])) page.begin();
  putLine(page.doc, text, LEFT, page.y, heading);
  page.y += 7;
  for (let column = 0; column < across; column++) {
    const right = LEFT + (column + 1) * (WIDTH / across);
    boxes.forEach((box, at) => {
      const middle = boxLeft(right, across, boxes.length, at) + BOX_MM / 2;
      const room = BOX_COLUMN_MM[across];
      page.doc.font(small.font).fontSize(small.sizePt).fillColor(small.colour);
      const heightMm = page.doc.heightOfString(box, { width: pt(room), align: 'center' }) / pt(1);
      page.doc.text(box, pt(middle - room / 2), pt(page.y + 7 - heightMm), {
        width: pt(room),
        align: 'center',
      });
    });
  }
  page.y += 8;
}

/** Boxes stand at the right of their column, the last one at its edge. */
function boxLeft(rightMm: number, across: 1 | 3, boxes: number, at: number): number {
  const room = BOX_COLUMN_MM[across];
  const edge = across === 1 ? 0 : 4;
  return rightMm - edge - room * (boxes - at) + (room - BOX_MM) / 2;
}

function drawBlank(page: Page, label: string): void {
  if (!page.fits(BLANK_MM)) page.begin();
  putLine(page.doc, label, LEFT, page.y + BLANK_MM - 5, words);
  const from = LEFT + page.doc.font(words.font).fontSize(words.sizePt).widthOfString(label) / pt(1);
  const y = page.y + BLANK_MM;
  if (from + 3 < RIGHT)
    strokeLine(
      page.doc,
      [
        [from + 3, y],
        [RIGHT, y],
      ],
      { widthMm: 0.2, colour: INK.text },
    );
  page.y = y + 1;
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
