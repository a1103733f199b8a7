/**
 * The lead drawing on paper at 1:1, in as many sheets as it takes.
 *
 * The first sheet says how the others lie and carries the check square; each other sheet shows a
 * window of the drawing, overlapping its neighbours, with cut marks on the line where they meet.
 */
import { boundsMm, type Net, numberSizeMm, type XyMm } from '#libs/net';
import { INK, PAPER_MM, type PaperName, pt } from './paper.js';
import { closePdf, openPdf, type Pdf, putLine, strokeLine, tracePath } from './pdf-page.js';

export interface NetPdfOptions {
  /** Full mark of the panel, 'SLM.wI.2b'. */
  readonly mark?: string;
  readonly revision?: number;
  readonly paper?: PaperName;
  /** How much two neighbouring sheets show of each other, 10 mm by default. */
  readonly overlapMm?: number;
  /** Date written into the file; a fixed one by default, so that the bytes do not change. */
  readonly date?: Date;
}

/** Printers leave up to 5 mm white (common practice, no source); the foot holds label and scale. */
const MARGIN_MM = 8;
const FOOT_MM = 11;
const CHECK_MM = 100;
const FIXED_DATE = new Date('2000-01-01T00:00:00Z');

interface Sheet {
  readonly name: string;
  readonly column: number;
  readonly row: number;
  /** Part of the drawing shown, mm in its frame. */
  readonly left: number;
  readonly top: number;
}

interface Plan {
  readonly pageMm: readonly [number, number];
  readonly paper: PaperName;
  readonly windowMm: readonly [number, number];
  readonly columns: number;
  readonly rows: number;
  readonly overlapMm: number;
  readonly sheets: readonly Sheet[];
}

/** Bytes of the PDF. Identical input gives identical bytes. */
export async function netPdf(net: Net, options: NetPdfOptions = {}): Promise<Uint8Array> {
  const title = [
    options.mark ?? 'Lead drawing',
    ...(options.revision === undefined ? [] : [`revision ${options.revision}`]),
  ].join(', ');
  const doc = openPdf({
    title: `${title}, lead drawing 1:1`,
    date: options.date ?? FIXED_DATE,
    subject: 'Lead drawing at 1:1; print at 100 %',
  });
  const plan = planSheets(net, options.paper ?? 'A4', options.overlapMm ?? 10);
  drawCover(doc, net, plan, title);
  for (const sheet of plan.sheets) drawSheet(doc, net, plan, sheet, title);
  return closePdf(doc);
}

/** Upright or lying, whichever takes fewer sheets; sheets lie centred over the drawing. */
function planSheets(net: Net, paper: PaperName, overlapMm: number): Plan {
  const box = boundsMm(net.outlineMm);
  // A little paper round the panel, so that its edge is never at a sheet's edge.
  const [width, height] = [box.maxX - box.minX + 4, box.maxY - box.minY + 4];
  const [short, long] = PAPER_MM[paper];
  const plans = [
    [short, long],
    [long, short],
  ].map(([pageWidth, pageHeight]) => {
    const windowMm = [pageWidth! - 2 * MARGIN_MM, pageHeight! - 2 * MARGIN_MM - FOOT_MM] as const;
    const count = (length: number, room: number) =>
      Math.max(1, Math.ceil((length - overlapMm) / (room - overlapMm)));
    return {
      pageMm: [pageWidth!, pageHeight!] as const,
      windowMm,
      columns: count(width, windowMm[0]),
      rows: count(height, windowMm[1]),
    };
  });
  const best = plans.reduce((a, b) => (b.columns * b.rows < a.columns * a.rows ? b : a));
  const [windowWidth, windowHeight] = best.windowMm;
  const coveredX = best.columns * (windowWidth - overlapMm) + overlapMm;
  const coveredY = best.rows * (windowHeight - overlapMm) + overlapMm;
  const startX = (box.minX + box.maxX - coveredX) / 2;
  const startY = (box.minY + box.maxY - coveredY) / 2;
  const sheets: Sheet[] = [];
  for (let row = 0; row < best.rows; row++) {
    for (let column = 0; column < best.columns; column++) {
      sheets.push({
        name: sheetName(column, row),
        column,
        row,
        left: startX + column * (windowWidth - overlapMm),
        top: startY + row * (windowHeight - overlapMm),
      });
    }
  }
  return { ...best, paper, overlapMm, sheets };
}

function sheetName(column: number, row: number): string {
  return `${String.fromCharCode(65 + row)}${column + 1}`;
}

function drawCover(doc: Pdf, net: Net, plan: Plan, title: string): void {
  const [pageWidth, pageHeight] = PAPER_MM.A4;
  doc.addPage({ size: [pt(pageWidth), pt(pageHeight)], margin: 0 });
  const left = 20;
  putLine(doc, title, left, 20, { font: 'sans-bold', sizePt: 20, colour: INK.text });
  putLine(doc, 'Lead drawing at 1:1', left, 30, { font: 'serif', sizePt: 12, colour: INK.dim });
  strokeLine(
    doc,
    [
      [left, 39],
      [pageWidth - left, 39],
    ],
    { widthMm: 0.2, colour: INK.rule },
  );

  const box = boundsMm(net.outlineMm);
  const sheets = plan.columns * plan.rows;
  const leadM = net.widthClasses.reduce((sum, one) => sum + one.lengthMm, 0) / 1000;
  const facts: [string, string][] = [
    [
      'over the outer leads',
      `${Math.round(box.maxX - box.minX)} × ${Math.round(box.maxY - box.minY)} mm, computed`,
    ],
    ['pieces', String(net.pieces.length)],
    ['lead', `${leadM.toFixed(2)} m along centre lines`],
    [
      'face widths',
      `${net.widthClasses.map((one) => one.widthMm.toFixed(1)).join(', ')} mm; profile not measured`,
    ],
    [
      'seen from',
      `${net.face}${net.layer === 'back' ? ', back layer' : ''}; ${net.surface === 'developed' ? 'developed, as a rubbing is' : 'in plan'}`,
    ],
    ['glass edge', `${(net.heartMm / 2 + net.clearanceMm).toFixed(2)} mm inside the centre line`],
    ['sheets', `${sheets} × ${plan.paper}, overlap ${plan.overlapMm} mm`],
  ];
  facts.forEach(([label, value], i) => {
    const y = 43 + i * 6.2;
    putLine(doc, label, left, y, { font: 'sans', sizePt: 9, colour: INK.dim });
    putLine(doc, value, left + 42, y, { font: 'sans', sizePt: 9, colour: INK.text });
  });

  // Left: how the sheets lie. Right: what to measure.
  const top = 94;
  const room = 66;
  const coveredX = plan.columns * (plan.windowMm[0] - plan.overlapMm) + plan.overlapMm;
  const coveredY = plan.rows * (plan.windowMm[1] - plan.overlapMm) + plan.overlapMm;
  const scale = Math.min(room / coveredX, 120 / coveredY);
  const first = plan.sheets[0]!;
  const toCover = ([x, y]: XyMm): XyMm => [
    left + (x - first.left) * scale,
    top + (y - first.top) * scale,
  ];
  putLine(doc, 'How the sheets lie', left, top - 7, {
    font: 'serif-bold',
    sizePt: 10,
    colour: INK.text,
  });
  tracePath(doc, net.outlineMm.map(toCover), true);
  doc.fillColor(INK.lead).fill();
  for (const piece of net.pieces) {
    for (const ring of piece.sightRingsMm) tracePath(doc, ring.map(toCover), true);
  }
  doc.fillColor('#ffffff').fill();
  for (const sheet of plan.sheets) {
    const [x, y] = toCover([sheet.left, sheet.top]);
    const [w, h] = [plan.windowMm[0] * scale, plan.windowMm[1] * scale];
    doc.rect(pt(x), pt(y), pt(w), pt(h)).lineWidth(pt(0.25)).strokeColor(INK.stain).stroke();
    const size = Math.min(18, h * 0.8);
    putLine(
      doc,
      sheet.name,
      x,
      y + h / 2 - size * 0.22,
      { font: 'sans-bold', sizePt: size, colour: INK.stain },
      { widthMm: w, align: 'center' },
    );
  }

  const checkX = pageWidth - left - CHECK_MM;
  putLine(doc, 'Measure before you build on it', checkX, top - 7, {
    font: 'serif-bold',
    sizePt: 10,
    colour: INK.text,
  });
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
    'both ways, within 0.5 mm',
    checkX,
    top + 52,
    { font: 'sans', sizePt: 9, colour: INK.dim },
    { widthMm: CHECK_MM, align: 'center' },
  );
  drawScaleBar(doc, [checkX, top + CHECK_MM + 8], 100, true);

  const advice = [
    'Print at 100 %, “actual size”, never “fit to page”.',
    'Cut each sheet along the marks at its inner edges and lay it on its neighbour:',
    'the drawing runs through. Tape on paper only, never on painted glass.',
    'Old lead sheds dust: damp-wipe bench and lead; local rules and the safety data sheet hold.',
  ];
  advice.forEach((line, i) => {
    putLine(doc, line, left, 236 + i * 6, { font: 'serif', sizePt: 9.5, colour: INK.text });
  });
}

function drawSheet(doc: Pdf, net: Net, plan: Plan, sheet: Sheet, title: string): void {
  const [pageWidth, pageHeight] = plan.pageMm;
  const [width, height] = plan.windowMm;
  doc.addPage({ size: [pt(pageWidth), pt(pageHeight)], margin: 0 });
  const shift: XyMm = [MARGIN_MM - sheet.left, MARGIN_MM - sheet.top];
  const place = ([x, y]: XyMm): XyMm => [x + shift[0], y + shift[1]];
  const isSeen = (points: readonly XyMm[]) => {
    if (points.length === 0) return false;
    const box = boundsMm(points);
    return (
      box.maxX >= sheet.left &&
      box.minX <= sheet.left + width &&
      box.maxY >= sheet.top &&
      box.minY <= sheet.top + height
    );
  };

  doc.save();
  doc.rect(pt(MARGIN_MM), pt(MARGIN_MM), pt(width), pt(height)).clip();
  tracePath(doc, net.outlineMm.map(place), true);
  doc.lineWidth(pt(0.2)).fillAndStroke(INK.lead, INK.leadEdge);
  for (const piece of net.pieces) {
    if (!isSeen(piece.centreRingMm)) continue;
    for (const ring of piece.sightRingsMm) tracePath(doc, ring.map(place), true);
    doc.lineWidth(pt(0.2)).fillAndStroke('#ffffff', INK.leadEdge, 'even-odd');
  }
  for (const lead of net.leads) {
    if (!isSeen(lead.lineMm)) continue;
    strokeLine(doc, lead.lineMm.map(place), {
      widthMm: lead.kind === 'broken' ? 0.35 : 0.15,
      colour: INK.leadEdge,
      dashMm:
        lead.kind === 'mending'
          ? [3, 1]
          : lead.kind === 'came' || lead.kind === 'outer'
            ? [1.2, 1.2]
            : [0.6, 0.8],
    });
  }
  for (const { pieceId, labelMm, labelRadiusMm } of net.pieces) {
    if (!isSeen([labelMm])) continue;
    const [x, y] = place(labelMm);
    const sizeMm = numberSizeMm(pieceId, labelRadiusMm);
    // Cap height of the face is about 0.67 of its size.
    const sizePt = pt(sizeMm / 0.67);
    putLine(
      doc,
      pieceId,
      x - 20,
      y - sizeMm * 0.93,
      { font: 'sans-bold', sizePt, colour: INK.text },
      { widthMm: 40, align: 'center' },
    );
  }
  doc.restore();

  drawCutMarks(doc, plan, sheet);
  const y = pageHeight - MARGIN_MM - FOOT_MM + 3.5;
  putLine(doc, sheet.name, MARGIN_MM, y - 1, { font: 'sans-bold', sizePt: 17, colour: INK.stain });
  putLine(doc, title, MARGIN_MM + 14, y, { font: 'sans-bold', sizePt: 8.5, colour: INK.text });
  putLine(doc, `1:1 · ${neighbours(plan, sheet)}`, MARGIN_MM + 14, y + 4, {
    font: 'sans',
    sizePt: 7.5,
    colour: INK.dim,
  });
  drawScaleBar(doc, [pageWidth - MARGIN_MM - 50, y + 0.5], 50, false);
}

function neighbours(plan: Plan, { column, row }: Sheet): string {
  const parts: string[] = [];
  if (column > 0) parts.push(`left ${sheetName(column - 1, row)}`);
  if (column < plan.columns - 1) parts.push(`right ${sheetName(column + 1, row)}`);
  if (row > 0) parts.push(`above ${sheetName(column, row - 1)}`);
  if (row < plan.rows - 1) parts.push(`below ${sheetName(column, row + 1)}`);
  return parts.length === 0 ? 'the only sheet' : parts.join(' · ');
}

/** Short lines in the margins on the middle of each overlap, and a hair cross where two meet. */
function drawCutMarks(doc: Pdf, plan: Plan, { column, row }: Sheet): void {
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
  const style = { widthMm: 0.2, colour: INK.stain };
  for (const x of xs) {
    strokeLine(
      doc,
      [
        [x, MARGIN_MM - 4],
        [x, MARGIN_MM - 0.5],
      ],
      style,
    );
    strokeLine(
      doc,
      [
        [x, MARGIN_MM + height + 0.5],
        [x, MARGIN_MM + height + 3],
      ],
      style,
    );
  }
  for (const y of ys) {
    strokeLine(
      doc,
      [
        [MARGIN_MM - 4, y],
        [MARGIN_MM - 0.5, y],
      ],
      style,
    );
    strokeLine(
      doc,
      [
        [MARGIN_MM + width + 0.5, y],
        [MARGIN_MM + width + 4, y],
      ],
      style,
    );
  }
  for (const x of xs) {
    for (const y of ys) {
      strokeLine(
        doc,
        [
          [x - 2, y],
          [x + 2, y],
        ],
        style,
      );
      strokeLine(
        doc,
        [
          [x, y - 2],
          [x, y + 2],
        ],
        style,
      );
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
