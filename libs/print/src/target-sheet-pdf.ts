/**
 * The target sheet at 1:1: strips of tags that give a photographed rubbing its scale and straighten its lens.
 * Where each tag lies comes from the reader of rubbings, so that what is printed is what is looked for.
 */
import {
  TAG_CELLS,
  TAG_FAMILY,
  TAG_MM,
  type TargetLayout,
  type TargetPaper,
  type TargetStrip,
  targetLayout,
} from '#libs/rubbing';
import { INK, pt } from './paper.js';
import { closePdf, openPdf, type Pdf, putLine, strokeLine } from './pdf-page.js';

export interface TargetSheetOptions {
  /** Date written into the file; a fixed one by default, so that the bytes do not change. */
  readonly date?: Date;
}

const FIXED_DATE = new Date('2000-01-01T00:00:00Z');
const CHECK_MM = 100;
const SIDE_MM = 14;

/** Bytes of the PDF: the strips, then how to use them. Identical input gives identical bytes. */
export async function targetSheetPdf(
  paper: TargetPaper,
  options: TargetSheetOptions = {},
): Promise<Uint8Array> {
  const layout = targetLayout(paper);
  const doc = openPdf({
    title: `Target sheet ${paper}, 1:1`,
    date: options.date ?? FIXED_DATE,
    subject: 'Strips that give a photographed rubbing its scale; print at 100 %',
  });
  drawStrips(doc, layout);
  drawUse(doc, layout);
  return closePdf(doc);
}

function addPage(doc: Pdf, [widthMm, heightMm]: readonly [number, number]): void {
  doc.addPage({ size: [pt(widthMm), pt(heightMm)], margin: 0 });
}

function drawStrips(doc: Pdf, layout: TargetLayout): void {
  addPage(doc, layout.sheetMm);
  const left = layout.strips[0]!.leftMm;
  putLine(doc, `Target sheet ${layout.paper}`, left, 9, {
    font: 'sans-bold',
    sizePt: 15,
    colour: INK.text,
  });
  putLine(
    doc,
    `Print at 100 %. The ruler on each strip must measure ${layout.rulerMm} mm. Then cut along the broken lines; for the lens, leave the sheet whole.`,
    left,
    18,
    { font: 'serif', sizePt: 9.5, colour: INK.dim },
  );
  for (const strip of layout.strips) drawStrip(doc, layout, strip);
}

function drawStrip(doc: Pdf, layout: TargetLayout, strip: TargetStrip): void {
  const [width, height] = layout.stripMm;
  const { leftMm: left, topMm: top } = strip;
  for (const y of [top, top + height]) {
    strokeLine(
      doc,
      [
        [left, y],
        [left + width, y],
      ],
      { widthMm: 0.15, colour: INK.dim, dashMm: [2, 1.5] },
    );
  }
  for (const x of [left, left + width]) {
    strokeLine(
      doc,
      [
        [x, top],
        [x, top + height],
      ],
      { widthMm: 0.15, colour: INK.dim, dashMm: [2, 1.5] },
    );
  }
  for (const tag of strip.tags) drawTag(doc, tag.id, left + tag.xMm, top + tag.yMm);
  drawRuler(doc, layout, [left + layout.rulerAtMm[0], top + layout.rulerAtMm[1]]);
  putLine(
    doc,
    strip.name,
    left + width - 25,
    top + layout.rulerAtMm[1] + 4.3,
    { font: 'sans-bold', sizePt: 8, colour: INK.text },
    { widthMm: 20, align: 'right' },
  );
}

/** Black square, white cells on it, runs of a row in one piece. */
function drawTag(doc: Pdf, id: number, xMm: number, yMm: number): void {
  const cell = TAG_MM / TAG_CELLS;
  const inner = TAG_CELLS - 2;
  const cells = TAG_FAMILY[id]!;
  doc.rect(pt(xMm), pt(yMm), pt(TAG_MM), pt(TAG_MM)).fill('#000000');
  for (let row = 0; row < inner; row++) {
    for (let from = 0; from < inner; from++) {
      if (cells[row * inner + from] === 0) continue;
      let to = from;
      while (to < inner && cells[row * inner + to] === 1) to++;
      doc
        .rect(
          pt(xMm + (from + 1) * cell),
          pt(yMm + (row + 1) * cell),
          pt((to - from) * cell),
          pt(cell),
        )
        .fill('#ffffff');
      from = to;
    }
  }
}

function drawRuler(doc: Pdf, { rulerMm }: TargetLayout, [x, y]: readonly [number, number]): void {
  for (let at = 0; at <= rulerMm; at += 5) {
    const isEnd = at === 0 || at === rulerMm;
    const length = isEnd ? 4 : at % 50 === 0 ? 3.2 : at % 10 === 0 ? 2.4 : 1.3;
    strokeLine(
      doc,
      [
        [x + at, y],
        [x + at, y + length],
      ],
      { widthMm: 0.2, colour: INK.text },
    );
    if (at % 50 === 0 && at < rulerMm - 20) {
      putLine(doc, at === 0 ? '0 mm' : String(at), x + at + 0.8, y + 1.6, {
        font: 'sans',
        sizePt: 6.5,
        colour: INK.dim,
      });
    }
  }
  putLine(
    doc,
    `${rulerMm} mm`,
    x + rulerMm - 21,
    y + 1.6,
    { font: 'sans', sizePt: 6.5, colour: INK.dim },
    { widthMm: 20, align: 'right' },
  );
}

function drawUse(doc: Pdf, layout: TargetLayout): void {
  addPage(doc, layout.sheetMm);
  const [pageWidth] = layout.sheetMm;
  putLine(doc, 'How to use the strips', SIDE_MM, 14, {
    font: 'serif-bold',
    sizePt: 15,
    colour: INK.text,
  });
  const steps: readonly (readonly [string, readonly string[]])[] = [
    [
      'Print',
      [
        'On plain white paper at 100 %, “actual size”, never “fit to page”.',
        `Measure the square here and the ruler of a strip: 100 mm and ${layout.rulerMm} mm.`,
        'If the ruler is longer or shorter, enter what it measures with the picture.',
      ],
    ],
    [
      'With a rubbing',
      [
        'Cut the strips apart along the broken lines.',
        'Lay one along each side of the panel, flat on the rubbing’s paper, outside the outer',
        'leads and clear of the wax, the printed side up. They need not be parallel or measured.',
        'Photograph all of the rubbing with every strip in the picture, as squarely as you can.',
        'Nothing has to be tapped: each strip is known by its tags.',
      ],
    ],
    [
      'For the lens, once for each phone and zoom',
      [
        'Tape the uncut sheet down flat. Photograph it alone from straight above,',
        'so near that it fills the frame to its corners, without zooming.',
      ],
    ],
    [
      'Take care',
      [
        'Tape on paper only, never on painted glass. Wax and paper lie where lead was handled:',
        'wash hands; local rules for lead hold.',
      ],
    ],
  ];
  let y = 26;
  for (const [title, lines] of steps) {
    putLine(doc, title, SIDE_MM, y, { font: 'sans-bold', sizePt: 10, colour: INK.text });
    y += 6;
    for (const line of lines) {
      putLine(doc, line, SIDE_MM, y, { font: 'serif', sizePt: 10, colour: INK.text });
      y += 5.4;
    }
    y += 4;
  }
  drawLaidOut(doc, SIDE_MM + 4, y + 2);
  const checkX = pageWidth - SIDE_MM - CHECK_MM;
  const top = 34;
  doc
    .rect(pt(checkX), pt(top), pt(CHECK_MM), pt(CHECK_MM))
    .lineWidth(pt(0.2))
    .strokeColor(INK.text)
    .stroke();
  putLine(
    doc,
    '100 × 100 mm',
    checkX,
    top + 44,
    { font: 'sans-bold', sizePt: 14, colour: INK.text },
    { widthMm: CHECK_MM, align: 'center' },
  );
  putLine(
    doc,
    'both ways, within 0.3 mm',
    checkX,
    top + 52,
    { font: 'sans', sizePt: 9, colour: INK.dim },
    { widthMm: CHECK_MM, align: 'center' },
  );
}

/** A small picture: the sheet, the panel's lozenges, a strip along each side. */
function drawLaidOut(doc: Pdf, x: number, y: number): void {
  const [width, height] = [66, 46];
  const style = { widthMm: 0.25, colour: INK.dim };
  doc.rect(pt(x), pt(y), pt(width), pt(height)).lineWidth(pt(0.25)).strokeColor(INK.dim).stroke();
  const [left, top, w, h] = [x + 14, y + 11, 38, 24];
  doc.rect(pt(left), pt(top), pt(w), pt(h)).lineWidth(pt(1)).strokeColor(INK.leadEdge).stroke();
  for (let k = 0; k < 4; k++) {
    const from = left + (k * w) / 4;
    const to = left + ((k + 1) * w) / 4;
    const middle = (from + to) / 2;
    strokeLine(
      doc,
      [
        [middle, top],
        [from, top + h / 2],
        [middle, top + h],
        [to, top + h / 2],
        [middle, top],
      ],
      { widthMm: 0.5, colour: INK.leadEdge },
    );
  }
  const strips: readonly (readonly [number, number, number, number])[] = [
    [left + 4, top - 8, 30, 4],
    [left + 5, top + h + 4, 30, 4],
    [left - 9, top + 1, 4, 22],
    [left + w + 5, top + 2, 4, 22],
  ];
  for (const [sx, sy, sw, sh] of strips) {
    doc.rect(pt(sx), pt(sy), pt(sw), pt(sh)).lineWidth(pt(0.2)).strokeColor(INK.dim).stroke();
    const along = sw > sh;
    for (let k = 0; k < 4; k++) {
      const at = 1.5 + (k * (Math.max(sw, sh) - 4.6)) / 3;
      doc
        .rect(pt(along ? sx + at : sx + 1.2), pt(along ? sy + 1.2 : sy + at), pt(1.6), pt(1.6))
        .fill('#000000');
    }
  }
  putLine(doc, 'one strip along each side', x + width + 4, y + height / 2 - 2, {
    font: 'sans',
    sizePt: 8.5,
    colour: INK.dim,
  });
  strokeLine(
    doc,
    [
      [left + w + 9.5, y + height / 2],
      [x + width + 3, y + height / 2],
    ],
    style,
  );
}
