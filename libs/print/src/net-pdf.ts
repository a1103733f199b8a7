/**
 * The lead drawing on paper at 1:1, in as many sheets as it takes.
 *
 * The first sheet says how the others lie and carries the check square; each other sheet shows a
 * window of the drawing, overlapping its neighbours, with cut marks on the line where they meet.
 */
import {
  boundsMm,
  type Curve,
  drawingWords,
  type Net,
  type NetCurves,
  netCurves,
  numberSizeMm,
  placeCurve,
  type XyMm,
} from '#libs/net';
import { traceCurve } from './curve-path.js';
import { INK, type PaperName, pt } from './paper.js';
import { closePdf, openPdf, type Pdf, putLine, strokeCurve } from './pdf-page.js';
import { drawCover, drawMap } from './sheet-cover.js';
import { drawFoot, FIXED_DATE } from './sheet-foot.js';
import { drawCutMarks } from './sheet-marks.js';
import { MARGIN_MM, type Plan, planSheets, type Sheet } from './sheet-plan.js';

export interface NetPdfOptions {
  /** Full mark of the panel, 'SLM.wI.2b'. */
  readonly mark?: string;
  readonly revision?: number;
  readonly paper?: PaperName;
  /** How much two neighbouring sheets show of each other, 10 mm by default. */
  readonly overlapMm?: number;
  /** Turned over left to right, for work from outside; words and numbers stay readable. */
  readonly mirrored?: boolean;
  /** Both in one file: all sheets as seen from inside, then all of them turned over. */
  readonly bothSides?: boolean;
  /** Without numbers: to trace, or to number by hand; true by default. */
  readonly numbers?: boolean;
  /** Date written into the file; a fixed one by default, so that the bytes do not change. */
  readonly date?: Date;
}

/** Bytes of the PDF. Identical input gives identical bytes. */
export async function netPdf(net: Net, options: NetPdfOptions = {}): Promise<Uint8Array> {
  const title = titleOf(options);
  const { bothSides = false, mirrored = false } = options;
  const side = bothSides ? ', from both sides' : mirrored ? ', mirrored' : '';
  const doc = openPdf({
    title: `${title}, lead drawing 1:1${side}`,
    date: options.date ?? FIXED_DATE,
    subject: `Lead drawing at 1:1; print at 100 %. ${drawingWords(net, { mirrored: mirrored && !bothSides }).join(' ')}`,
  });
  for (const one of bothSides ? [false, true] : [mirrored])
    drawSet(doc, net, title, { ...options, mirrored: one });
  return closePdf(doc);
}

/** A cover and the sheets of one side. */
function drawSet(doc: Pdf, net: Net, title: string, options: NetPdfOptions): void {
  const isMirrored = options.mirrored === true;
  const plan = planSheets(boundsMm(net.outlineMm), options.paper ?? 'A4', options.overlapMm ?? 10);
  const curves = netCurves(net, options);
  const room = drawCover(doc, {
    title,
    what: `Lead drawing at 1:1${options.numbers === false ? ', without numbers' : ''}`,
    isMirrored,
    paper: plan.paper,
    facts: factsOf(net, plan, options),
    advice: ADVICE,
  });
  drawMap(doc, room, plan, { band: curves.outline, white: curves.sight.flat() });
  for (const sheet of plan.sheets) {
    drawSheet(doc, net, curves, plan, sheet, options.numbers !== false);
    drawCutMarks(doc, plan, sheet);
    drawFoot(doc, plan, sheet, { title, isMirrored, words: drawingWords(net, options) });
  }
}

/** 'SLM.wI.2b, revision 3'. */
export function titleOf({ mark, revision }: Pick<NetPdfOptions, 'mark' | 'revision'>): string {
  return [mark ?? 'Lead drawing', ...(revision === undefined ? [] : [`revision ${revision}`])].join(
    ', ',
  );
}

const ADVICE = [
  'Print at 100 %, “actual size”, never “fit to page”.',
  'Cut each sheet along the marks at its inner edges and lay it on its neighbour:',
  'the drawing runs through. Tape on paper only, never on painted glass.',
  'Old lead sheds dust: damp-wipe bench and lead; local rules and the safety data sheet hold.',
];

function factsOf(net: Net, plan: Plan, options: NetPdfOptions): (readonly [string, string])[] {
  const box = boundsMm(net.outlineMm);
  const leadM = net.widthClasses.reduce((sum, one) => sum + one.lengthMm, 0) / 1000;
  const profiles = [...new Set(net.leads.flatMap(({ profile }) => profile ?? []))].sort();
  const [side, taken, surface] = drawingWords(net, options);
  const sheets = plan.sheets.length;
  return [
    [
      'over the outer leads',
      `${Math.round(box.maxX - box.minX)} × ${Math.round(box.maxY - box.minY)} mm, computed`,
    ],
    ['pieces', String(net.pieces.length)],
    ['lead', `${leadM.toFixed(2)} m along centre lines`],
    [
      'face widths',
      `${net.widthClasses.map((one) => one.widthMm.toFixed(1)).join(', ')} mm; profile ${profiles.length === 0 ? 'not measured' : `gauged: ${profiles.join(', ')}`}`,
    ],
    ['side', `${side} ${taken}`],
    ['surface', surface!],
    [
      'glass edge',
      `${(net.heartMm / 2 + net.clearanceMm).toFixed(2)} mm inside the centre line${profiles.length === 0 ? '' : ', else by the gauged profile'}`,
    ],
    ['sheets', `${sheets} × ${plan.paper}${sheets === 1 ? '' : `, overlap ${plan.overlapMm} mm`}`],
  ];
}

function drawSheet(
  doc: Pdf,
  net: Net,
  curves: NetCurves,
  plan: Plan,
  sheet: Sheet,
  withNumbers: boolean,
): void {
  const [pageWidth, pageHeight] = plan.pageMm;
  const [width, height] = plan.windowMm;
  doc.addPage({ size: [pt(pageWidth), pt(pageHeight)], margin: 0 });
  const place = ([x, y]: XyMm): XyMm => [x + MARGIN_MM - sheet.left, y + MARGIN_MM - sheet.top];
  const onPage = (curve: Curve) => placeCurve(curve, place, false);
  const isSeen = (points: readonly XyMm[]) => {
    const box = boundsMm(points);
    // A curve may bulge over the points that it runs through.
    const slack = 20;
    return (
      box.maxX >= sheet.left - slack &&
      box.minX <= sheet.left + width + slack &&
      box.maxY >= sheet.top - slack &&
      box.minY <= sheet.top + height + slack
    );
  };
  const nodesOf = ({ fromMm, parts }: Curve) => [fromMm, ...parts.map(({ toMm }) => toMm)];

  doc.save();
  doc.rect(pt(MARGIN_MM), pt(MARGIN_MM), pt(width), pt(height)).clip();
  traceCurve(doc, onPage(curves.outline), true);
  doc.lineWidth(pt(0.2)).fillAndStroke(INK.lead, INK.leadEdge);
  for (const rings of curves.sight) {
    if (rings.length === 0 || !isSeen(rings.flatMap(nodesOf))) continue;
    for (const ring of rings) traceCurve(doc, onPage(ring), true);
    doc.lineWidth(pt(0.2)).fillAndStroke('#ffffff', INK.leadEdge, 'even-odd');
  }
  net.leads.forEach(({ kind, faceWidthMm }, i) => {
    const curve = curves.leads[i]!;
    if (!isSeen(nodesOf(curve))) return;
    if (kind === 'strap') {
      // On one face only, over glass that stays one piece: its band is shown, thinly.
      strokeCurve(doc, onPage(curve), { widthMm: faceWidthMm, colour: STRAP_BAND });
    }
    strokeCurve(doc, onPage(curve), {
      widthMm: kind === 'broken' ? 0.35 : 0.15,
      colour: INK.leadEdge,
      dashMm: CENTRE_DASH_MM[kind],
    });
  });
  (withNumbers ? net.pieces : []).forEach(({ pieceId, labelRadiusMm }, i) => {
    const label = curves.labelsMm[i]!;
    if (!isSeen([label])) return;
    drawNumber(doc, pieceId, place(label), numberSizeMm(pieceId, labelRadiusMm));
  });
  doc.restore();
}

const STRAP_BAND = '#efece5';

/** Dashes of the centre lines, so that kinds are told apart without colour. */
const CENTRE_DASH_MM = {
  came: [1.2, 1.2],
  outer: [1.2, 1.2],
  mending: [3, 1],
  strap: [0.6, 0.8],
  foil: [0.6, 0.8],
  broken: [1, 1],
} as const;

/** A number with its middle at a place of the page; nothing when that is off the page. */
export function drawNumber(doc: Pdf, text: string, [x, y]: XyMm, sizeMm: number): void {
  // The writer would begin a new page for text below this one.
  if (y < 0 || pt(y + 2 * sizeMm) > doc.page.height) return;
  // Cap height of the face is about 0.67 of its size.
  const style = { font: 'sans-bold', sizePt: pt(sizeMm / 0.67), colour: INK.text } as const;
  putLine(doc, text, x - 20, y - sizeMm * 0.93, style, { widthMm: 40, align: 'center' });
}
