/** First sheet of a 1:1 print: what it is, how the sheets lie, what to measure. */
import { type BoundsMm, type Curve, placeCurve, type XyMm } from '#libs/net';
import { traceCurve } from './curve-path.js';
import { INK, PAPER_MM, type PaperName, pt } from './paper.js';
import { type Pdf, putLine, strokeLine } from './pdf-page.js';
import { CHECK_MM, drawCheck, drawMirrorWords, style } from './sheet-marks.js';
import type { Plan } from './sheet-plan.js';

const LEFT_MM = 20;

export interface Cover {
  readonly title: string;
  readonly what: string;
  readonly isMirrored: boolean;
  readonly paper: PaperName;
  readonly facts: readonly (readonly [label: string, value: string])[];
  readonly advice: readonly string[];
}

/** @returns where the drawing of the sheets may go: mm from the page's top left */
export function drawCover(doc: Pdf, cover: Cover): BoundsMm {
  const [pageWidth, pageHeight] = PAPER_MM[cover.paper];
  doc.addPage({ size: [pt(pageWidth), pt(pageHeight)], margin: 0 });
  const right = pageWidth - LEFT_MM;
  putLine(doc, cover.title, LEFT_MM, 16, style('sans-bold', 20));
  putLine(doc, cover.what, LEFT_MM, 26, style('serif', 12, INK.dim));
  let y = 35;
  if (cover.isMirrored) {
    drawMirrorWords(doc, [LEFT_MM, y - 1], right - LEFT_MM, 22, 'MIRRORED · SEEN FROM OUTSIDE');
    y += 14;
  }
  rule(doc, y, right);
  cover.facts.forEach(([label, value], i) => {
    putLine(doc, label, LEFT_MM, y + 4 + i * 5.8, style('sans', 9, INK.dim));
    putLine(doc, value, LEFT_MM + 36, y + 4 + i * 5.8, style('sans', 9));
  });
  const top = y + 4 + cover.facts.length * 5.8 + 12;
  putLine(doc, 'How the sheets lie', LEFT_MM, top - 7, style('serif-bold', 10));
  putLine(doc, 'Check the print', right - CHECK_MM, top - 7, style('serif-bold', 10));
  drawCheck(doc, [right - CHECK_MM, top]);
  const adviceTop = Math.max(top + CHECK_MM + 19, pageHeight - 20 - cover.advice.length * 5.6);
  cover.advice.forEach((line, i) => {
    putLine(doc, line, LEFT_MM, adviceTop + i * 5.6, style('serif', 9.5));
  });
  return { minX: LEFT_MM, minY: top, maxX: right - CHECK_MM - 6, maxY: adviceTop - 5 };
}

/** The sheets over a small drawing of the panel; `white` is drawn over `band`. */
export function drawMap(
  doc: Pdf,
  room: BoundsMm,
  plan: Plan,
  { band, white }: { band: Curve | null; white: readonly Curve[] },
): void {
  const { overlapMm, windowMm } = plan;
  const coveredX = plan.columns * (windowMm[0] - overlapMm) + overlapMm;
  const coveredY = plan.rows * (windowMm[1] - overlapMm) + overlapMm;
  const scale = Math.min((room.maxX - room.minX) / coveredX, (room.maxY - room.minY) / coveredY);
  const first = plan.sheets[0]!;
  const place = ([x, y]: XyMm): XyMm => [
    room.minX + (x - first.left) * scale,
    room.minY + (y - first.top) * scale,
  ];
  if (band !== null) {
    traceCurve(doc, placeCurve(band, place, false), true);
    doc.fillColor(INK.lead).fill();
  }
  for (const curve of white) traceCurve(doc, placeCurve(curve, place, false), true);
  if (band !== null) doc.fillColor('#ffffff').fill();
  else doc.lineWidth(pt(0.15)).strokeColor(INK.leadEdge).stroke();
  for (const sheet of plan.sheets) {
    const [x, y] = place([sheet.left, sheet.top]);
    const [w, h] = [windowMm[0] * scale, windowMm[1] * scale];
    doc.rect(pt(x), pt(y), pt(w), pt(h)).lineWidth(pt(0.25)).strokeColor(INK.stain).stroke();
    const size = Math.min(18, h * 0.8);
    putLine(doc, sheet.name, x, y + h / 2 - size * 0.22, style('sans-bold', size, INK.stain), {
      widthMm: w,
      align: 'center',
    });
  }
}

function rule(doc: Pdf, y: number, right: number): void {
  const ends: XyMm[] = [
    [LEFT_MM, y],
    [right, y],
  ];
  strokeLine(doc, ends, { widthMm: 0.2, colour: INK.rule });
}
