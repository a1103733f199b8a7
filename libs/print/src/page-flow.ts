/** A4 pages that are filled from the top: where the next thing goes, and a new page when it does not fit. */
import { INK, PAPER_MM, pt } from './paper.js';
import { type FontName, type Pdf, putLine, strokeLine } from './pdf-page.js';

export const [PAGE_WIDTH, PAGE_HEIGHT] = PAPER_MM.A4;
export const LEFT = 22;
export const RIGHT = PAGE_WIDTH - 18;
export const WIDTH = RIGHT - LEFT;
export const TOP = 20;
export const BOTTOM = PAGE_HEIGHT - 22;
/** Longest stretch of text that is kept in one piece. */
const TALLEST = 120;
/** More than ever fit that stretch: measuring costs time in the length of the text. */
const MANY_LETTERS = 4000;

export interface FlowStyle {
  readonly font: FontName;
  readonly sizePt: number;
  readonly colour: string;
  readonly lineGapPt?: number;
}

/** The place on the page where the next thing goes, in mm. */
export class Flow {
  y = TOP;

  constructor(readonly doc: Pdf) {
    this.newPage();
  }

  newPage(): void {
    this.doc.addPage({ size: [pt(PAGE_WIDTH), pt(PAGE_HEIGHT)], margin: 0 });
    this.y = TOP;
  }

  fits(heightMm: number): boolean {
    return this.y + heightMm <= BOTTOM;
  }

  /** Begins a new page unless this much is left on the present one. */
  need(heightMm: number): void {
    if (!this.fits(heightMm) && this.y > TOP) this.newPage();
  }

  height(text: string, widthMm: number, style: FlowStyle): number {
    this.doc.font(style.font).fontSize(style.sizePt);
    const points = this.doc.heightOfString(text, {
      width: pt(widthMm),
      lineGap: style.lineGapPt ?? 0,
    });
    return points / pt(1);
  }

  /** Wrapped text at (x, y) mm; does not move the flow. Returns its height. */
  text(text: string, xMm: number, yMm: number, widthMm: number, style: FlowStyle): number {
    const height = this.height(text, widthMm, style);
    this.doc
      .font(style.font)
      .fontSize(style.sizePt)
      .fillColor(style.colour)
      .text(text, pt(xMm), pt(yMm), { width: pt(widthMm), lineGap: style.lineGapPt ?? 0 });
    return height;
  }

  /**
   * A text in parts of which each fits a page; words stay whole. Long notes would otherwise run off
   * the paper, or make pages that this flow does not know of.
   */
  parts(text: string, widthMm: number, style: FlowStyle): string[] {
    const fits = (part: string) => this.height(part, widthMm, style) <= TALLEST;
    if (text.length <= MANY_LETTERS && fits(text)) return [text];
    const parts: string[] = [];
    let rest = text;
    while (rest !== '') {
      let [low, high] = [1, Math.min(rest.length, MANY_LETTERS)];
      while (low < high) {
        const middle = Math.ceil((low + high) / 2);
        if (fits(rest.slice(0, middle))) low = middle;
        else high = middle - 1;
      }
      const space = low === rest.length ? low : rest.lastIndexOf(' ', low);
      const cut = space > 0 ? space : low;
      parts.push(rest.slice(0, cut));
      rest = rest.slice(cut).trimStart();
    }
    return parts;
  }

  rule(colour: string = INK.rule, widthMm = 0.2): void {
    strokeLine(
      this.doc,
      [
        [LEFT, this.y],
        [RIGHT, this.y],
      ],
      { widthMm, colour },
    );
  }

  /** A heading that stays with at least `withMm` of what follows. */
  heading(text: string, withMm: number): void {
    const before = this.y === TOP ? 0 : 7;
    this.need(before + 8 + withMm);
    if (this.y > TOP) this.y += before;
    putLine(this.doc, text, LEFT, this.y, { font: 'serif-bold', sizePt: 12, colour: INK.text });
    this.y += 7.5;
  }

  /** A paper's first words: the mark, to be read from afar, and what the paper is. */
  title(mark: string, title: string, colour: string): void {
    putLine(this.doc, mark, LEFT, TOP, { font: 'sans-bold', sizePt: 26, colour: INK.text });
    putLine(this.doc, title, LEFT, TOP + 12, { font: 'serif', sizePt: 14, colour });
    this.y = TOP + 20;
  }
}
