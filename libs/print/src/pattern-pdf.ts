/** Pattern pieces at 1:1 for cutting: number, arrow of grain or figure, size as cut. */
import {
  arrowLines,
  type BoundsMm,
  boxOf,
  type Curve,
  compareNames,
  drawingWords,
  type Net,
  numberSizeMm,
  type PatternLayout,
  type PatternOptions,
  type PatternPiece,
  patternLayout,
  placeCurve,
  type XyMm,
} from '#libs/net';
import { drawNumber, titleOf } from './net-pdf.js';
import { INK, PAPER_MM, type PaperName, pt } from './paper.js';
import { closePdf, openPdf, type Pdf, putLine, strokeCurve, strokeLine } from './pdf-page.js';
import { drawCover, drawMap } from './sheet-cover.js';
import { drawFoot, FIXED_DATE } from './sheet-foot.js';
import { drawCutMarks, style } from './sheet-marks.js';
import { MARGIN_MM, type Plan, planSheets, type Sheet, windowOf } from './sheet-plan.js';

export interface PatternPdfOptions extends Omit<PatternOptions, 'sheetMm'> {
  readonly mark?: string;
  readonly revision?: number;
  readonly paper?: PaperName;
  /** Every piece where it stands in the panel, tiled like the drawing; else packed on sheets. */
  readonly inPlace?: boolean;
  /** Of tiled sheets, 10 mm by default. */
  readonly overlapMm?: number;
  readonly date?: Date;
}

/** Bytes of the PDF. Identical input gives identical bytes. */
export async function patternPdf(net: Net, options: PatternPdfOptions = {}): Promise<Uint8Array> {
  const paper = options.paper ?? 'A4';
  const overlapMm = options.overlapMm ?? 10;
  const isMirrored = options.mirrored === true;
  const title = titleOf(options);
  const words = drawingWords(net, options);
  const doc = openPdf({
    title: `${title}, pattern pieces 1:1${isMirrored ? ', mirrored' : ''}`,
    date: options.date ?? FIXED_DATE,
    subject: `Pattern pieces at 1:1, glass as cut; print at 100 %. ${words.join(' ')}`,
  });
  const layout = patternLayout(net, {
    ...options,
    ...(options.inPlace === true ? {} : { sheetMm: windowOf(PAPER_MM[paper]) }),
  });
  const pages = pagesOf(layout, paper, overlapMm, options.inPlace === true);
  const room = drawCover(doc, {
    title,
    what: `Pattern pieces at 1:1, glass as cut${options.inPlace === true ? ', in place' : ''}`,
    isMirrored,
    paper,
    facts: factsOf(net, layout, pages, options),
    advice: ADVICE,
  });
  drawIndex(doc, room, layout, pages, options.inPlace === true);
  for (const { plan, sheet, pieces } of pages) {
    drawPage(doc, plan, sheet, pieces);
    const isTile = plan.sheets.length > 1;
    drawFoot(doc, plan, sheet, {
      title: `${title}, pattern pieces`,
      isMirrored,
      words,
      ...(!isTile && { where: `sheet ${sheet.name} of ${pages.length}` }),
    });
  }
  return closePdf(doc);
}

const ADVICE = [
  'Print at 100 %, “actual size”, never “fit to page”.',
  'Lines are the edge of the glass as cut, into the heart: cut on the line, not outside it.',
  'The arrow points to the top of the panel; a thick one is grain or figure as it was asked for.',
  'Cut glass is sharp: gloves and glasses; wet the wheel against dust.',
];

interface Page {
  readonly plan: Plan;
  readonly sheet: Sheet;
  readonly pieces: readonly PatternPiece[];
}

/** Packed sheets are a page each; pieces that overhang one, and those in place, are tiled. */
function pagesOf(
  layout: PatternLayout,
  paper: PaperName,
  overlapMm: number,
  isInPlace: boolean,
): Page[] {
  const pages: Page[] = [];
  for (let at = 0; at < layout.sheets; at++) {
    const pieces = layout.pieces.filter((piece) => piece.sheet === at);
    const isTiled = isInPlace || pieces.some(({ pieceId }) => layout.tooLarge.includes(pieceId));
    if (isTiled) {
      const box = isInPlace
        ? { minX: 0, minY: 0, maxX: layout.sheetMm[0], maxY: layout.sheetMm[1] }
        : boxOf(pieces[0]!);
      const plan = planSheets(box, paper, overlapMm);
      const prefix = isInPlace ? '' : `${pieces[0]!.pieceId}-`;
      for (const sheet of plan.sheets) {
        pages.push({ plan, sheet: { ...sheet, name: `${prefix}${sheet.name}` }, pieces });
      }
    } else {
      const pageMm = PAPER_MM[paper];
      const sheet = { name: String(at + 1), column: 0, row: 0, left: 0, top: 0 };
      const windowMm = windowOf(pageMm);
      const plan = { pageMm, paper, windowMm, columns: 1, rows: 1, overlapMm: 0, sheets: [sheet] };
      pages.push({ plan, sheet, pieces });
    }
  }
  return pages;
}

function drawPage(doc: Pdf, plan: Plan, sheet: Sheet, pieces: readonly PatternPiece[]): void {
  const [pageWidth, pageHeight] = plan.pageMm;
  const [width, height] = plan.windowMm;
  doc.addPage({ size: [pt(pageWidth), pt(pageHeight)], margin: 0 });
  const place = ([x, y]: XyMm): XyMm => [x + MARGIN_MM - sheet.left, y + MARGIN_MM - sheet.top];
  doc.save();
  // Half a line of slack: a piece at the window's edge keeps the whole of its line.
  doc.rect(pt(MARGIN_MM - 0.2), pt(MARGIN_MM - 0.2), pt(width + 0.4), pt(height + 0.4)).clip();
  for (const piece of pieces) {
    const box = boxOf(piece);
    const isSeen =
      box.maxX >= sheet.left &&
      box.minX <= sheet.left + width &&
      box.maxY >= sheet.top &&
      box.minY <= sheet.top + height;
    if (isSeen) drawPiece(doc, piece, place);
  }
  doc.restore();
  if (plan.sheets.length > 1) drawCutMarks(doc, plan, sheet);
}

function drawPiece(doc: Pdf, piece: PatternPiece, place: (xyMm: XyMm) => XyMm): void {
  strokeCurve(doc, placeCurve(piece.curve, place, false), { widthMm: 0.2, colour: INK.leadEdge });
  const [tail, tip] = piece.arrowMm.map(place) as [XyMm, XyMm];
  for (const line of arrowLines([tail, tip])) {
    strokeLine(doc, line, { widthMm: piece.isGrain ? 0.7 : 0.25, colour: INK.stain });
  }
  const [x, y] = place(piece.labelMm);
  const sizeMm = numberSizeMm(piece.pieceId, piece.labelRadiusMm * 0.55);
  drawNumber(doc, piece.pieceId, [x, y], sizeMm);
  if (piece.labelRadiusMm < 10 || y < 0 || pt(y + 20) > doc.page.height) return;
  const words = `${piece.cutSizeMm.map((mm) => mm.toFixed(1)).join(' × ')} mm`;
  // Beside the shaft of an upright arrow, over it of a lying one; on paper of its own.
  const isUpright = Math.abs(tip[1] - tail[1]) > Math.abs(tip[0] - tail[0]);
  const at: XyMm = isUpright ? [x, y + sizeMm * 0.5 + 1.6] : [x, y + sizeMm * 0.5 + 2.6];
  doc.rect(pt(at[0] - 9.5), pt(at[1] - 0.4), pt(19), pt(3.4)).fill('#ffffff');
  putLine(doc, words, at[0] - 15, at[1], style('sans', 6.5, INK.dim), {
    widthMm: 30,
    align: 'center',
  });
}

/** In place: the map of the tiles. Packed: which piece is on which page. */
function drawIndex(
  doc: Pdf,
  room: BoundsMm,
  layout: PatternLayout,
  pages: readonly Page[],
  isInPlace: boolean,
): void {
  if (isInPlace) {
    const curves: Curve[] = layout.pieces.map(({ curve }) => curve);
    drawMap(doc, room, pages[0]!.plan, { band: null, white: curves });
    return;
  }
  const rows = pages.map(({ sheet, pieces }): [string, string[]] => [
    sheet.name,
    pieces.map(({ pieceId }) => pieceId).sort(compareNames),
  ]);
  let y = room.minY;
  for (const [name, pieces] of rows) {
    const lines = wrapped(pieces, 34);
    if (y + lines.length * 4.4 > room.maxY) {
      putLine(doc, 'the rest as numbered on the sheets', room.minX, y, style('sans', 7.5, INK.dim));
      return;
    }
    putLine(doc, name, room.minX, y - 0.6, style('sans-bold', 9, INK.stain));
    for (const line of lines) {
      putLine(doc, line, room.minX + 14, y, style('sans', 8));
      y += 4.4;
    }
  }
}

function wrapped(words: readonly string[], width: number): string[] {
  const lines: string[] = [''];
  for (const word of words) {
    const line = lines[lines.length - 1]!;
    if (line !== '' && line.length + word.length + 2 > width) lines.push(word);
    else lines[lines.length - 1] = line === '' ? word : `${line}, ${word}`;
  }
  return lines;
}

function factsOf(
  net: Net,
  { pieces, nothingToCut, tooLarge }: PatternLayout,
  pages: readonly Page[],
  options: PatternPdfOptions,
): (readonly [string, string])[] {
  const [side, taken, surface] = drawingWords(net, options);
  const turned = pieces.filter(({ isTurned }) => isTurned).map(({ pieceId }) => pieceId);
  const list = (ids: readonly string[]) =>
    ids.length <= 12 ? ids.join(', ') : `${ids.slice(0, 12).join(', ')} … (${ids.length})`;
  return [
    ['pieces', String(pieces.length)],
    [
      'cut to',
      `half the heart (${net.heartMm.toFixed(2)} mm) and ${net.clearanceMm.toFixed(2)} mm of air inside the centre line, or by the gauged profile`,
    ],
    ['side', `${side} ${taken}`],
    ['surface', surface!],
    ['sheets', `${pages.length} × ${options.paper ?? 'A4'}`],
    ...(turned.length > 0 ? [['lie turned', list(turned)] as const] : []),
    ...(tooLarge.length > 0 ? [['over several sheets', list(tooLarge)] as const] : []),
    ...(nothingToCut.length > 0 ? [['wholly under lead', list(nothingToCut)] as const] : []),
  ];
}
