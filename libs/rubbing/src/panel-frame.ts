/** From the frame that the sheets were flattened in to the panel's own: seen from inside, origin at the outer corner. */
import type { XyMm } from '#libs/net';
import { type Draft, lineOf } from './draft.js';
import type { RubbingControl } from './sheet.js';

/** panel x = (mirrored ? aboutMm - x : x) + shift x; panel y = y + shift y */
export interface PanelFrame {
  readonly isMirrored: boolean;
  /** Twice the middle of the panel in the sheets' frame. */
  readonly aboutMm: number;
  readonly shiftMm: XyMm;
}

/** A control whose zero is the panel's outer corner already; the others put zero wherever a mark happens to be. */
const ANCHORED: ReadonlySet<RubbingControl['kind']> = new Set([
  'control_points',
  'sides_diagonals',
  'diagonals',
]);

/** @param control of the sheet that the frame was taken from */
export function panelFrame(
  draft: Draft,
  control: RubbingControl,
  face: 'inside' | 'outside',
): PanelFrame {
  let minX = Infinity;
  let maxX = -Infinity;
  let minY = Infinity;
  for (const lead of draft.leads) {
    const line = lineOf(draft, lead);
    const half = lead.faceWidthMm / 2;
    for (let k = 0; k < line.length; k += 2) {
      minX = Math.min(minX, line[k]! - half);
      maxX = Math.max(maxX, line[k]! + half);
      minY = Math.min(minY, line[k + 1]! - half);
    }
  }
  return {
    isMirrored: face === 'outside',
    aboutMm: minX + maxX,
    shiftMm: ANCHORED.has(control.kind) ? [0, 0] : [-minX, -minY],
  };
}

export function onPanel(frame: PanelFrame, [x, y]: XyMm): XyMm {
  return [(frame.isMirrored ? frame.aboutMm - x : x) + frame.shiftMm[0], y + frame.shiftMm[1]];
}
