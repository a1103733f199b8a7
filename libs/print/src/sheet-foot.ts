/** The foot of a 1:1 sheet: its name, what it shows, its neighbours, a scale bar. */
import { INK } from './paper.js';
import { type Pdf, putLine } from './pdf-page.js';
import { drawMirrorWords, drawScaleBar, style } from './sheet-marks.js';
import { FOOT_MM, MARGIN_MM, neighbours, type Plan, type Sheet } from './sheet-plan.js';

/** Written into files that nobody gave a date. */
export const FIXED_DATE = new Date('2000-01-01T00:00:00Z');

const BAR_MM = 50;

export interface Foot {
  readonly title: string;
  readonly isMirrored: boolean;
  /** What must be known of the drawing, its side first. */
  readonly words: readonly string[];
  /** Which sheet this is; by its neighbours when left out. */
  readonly where?: string;
}

export function drawFoot(
  doc: Pdf,
  plan: Plan,
  sheet: Sheet,
  { title, isMirrored, words, where }: Foot,
): void {
  const [pageWidth, pageHeight] = plan.pageMm;
  const y = pageHeight - MARGIN_MM - FOOT_MM + 2.5;
  // Clear of the cut marks, which stand in the middle of the overlaps.
  const inset = plan.columns > 1 ? plan.overlapMm : 0;
  putLine(doc, sheet.name, MARGIN_MM + inset, y - 1, style('sans-bold', 17, INK.stain));
  const left = MARGIN_MM + inset + 5 + 4 * Math.max(2, sheet.name.length);
  const right = pageWidth - MARGIN_MM - inset - BAR_MM;
  putLine(doc, title, left, y - 0.5, style('sans-bold', 8.5));
  putLine(
    doc,
    `1:1 · ${where ?? neighbours(plan, sheet)}`,
    left,
    y + 3.5,
    style('sans', 7.5, INK.dim),
  );
  putLine(
    doc,
    (isMirrored ? words : words.slice(1)).join(' '),
    left,
    y + 7.2,
    style('sans', 6.5, INK.dim),
  );
  drawScaleBar(doc, [right, y], BAR_MM, false);
  if (isMirrored) drawMirrorWords(doc, [right - 40, y - 1.5], 36, 13, 'MIRRORED');
}
