/** Finds each drawn mark again under its tap. */
import type { MarkFigure } from '#libs/net';
import { cornerOfTicks } from './corner-ticks.js';
import { type GreyImage, greyAt } from './grey-image.js';
import { markCentre } from './mark-centre.js';
import type { MarkControl } from './mark-plan.js';
import { RubbingError } from './rubbing-error.js';

export interface FoundMarks {
  /** Pixels, flat. */
  readonly px: Float64Array;
  readonly figures: readonly MarkFigure[];
  /** Standard deviation of each coordinate, pixels: of finding and of drawing. */
  readonly sigmaPx: Float64Array;
}

/** A figure is found to a fifth of a pixel, and a pen puts it within a tenth of a millimetre of what was measured. */
const FOUND_PX = 0.2;
const DRAWN_MM = 0.1;
/** A tap on an enlarged picture, measured on generated taps of 1.5 px. */
const TAP_PX = 1.5;
const TAP_MM = 0.25;

/**
 * @param taps flat, one for each name
 * @throws RubbingError 'mark-not-found' where a cross was promised and none is there
 */
export function findMarks(
  grey: GreyImage,
  control: MarkControl,
  names: readonly string[],
  taps: Float64Array,
  pxPerMm: number,
): FoundMarks {
  const n = names.length;
  const px = taps.slice();
  const figures: MarkFigure[] = [];
  const sigmaPx = new Float64Array(n);
  const tap = (k: number): [number, number] => [taps[2 * k]!, taps[2 * k + 1]!];
  for (let k = 0; k < n; k++) {
    const [x, y] = tap(k);
    const cross = (): [number, number] | undefined => markCentre(grey, x, y, pxPerMm);
    const corner = (): [number, number] | undefined =>
      n === 4
        ? cornerOfTicks(grey, [x, y], tap((k + 3) % 4), tap((k + 1) % 4), pxPerMm)
        : undefined;
    const trueCross = (): [number, number] | undefined => {
      const found = cross();
      return found && hasFourArms(grey, found, pxPerMm) ? found : undefined;
    };
    let found: [number, number] | undefined;
    let figure: MarkFigure = 'tap';
    if (control.kind === 'control_points') {
      found = cross();
      figure = 'cross';
      if (!found) {
        throw new RubbingError(
          'mark-not-found',
          `No cross found near the tap for mark ${names[k]}: tap its centre again on the enlarged picture.`,
          { mark: names[k]! },
        );
      }
    } else {
      const inOrder = control.kind === 'distances' ? [trueCross, corner] : [corner, trueCross];
      for (const look of inOrder) {
        found = look();
        if (found) {
          figure = look === corner ? 'corner' : 'cross';
          break;
        }
      }
    }
    figures.push(figure);
    sigmaPx[k] = found
      ? Math.hypot(FOUND_PX, DRAWN_MM * pxPerMm)
      : Math.hypot(TAP_PX, TAP_MM * pxPerMm);
    if (found) [px[2 * k], px[2 * k + 1]] = found;
  }
  return { px, figures, sigmaPx };
}

/** Ink on four arms at right angles, and paper between them. */
export function hasFourArms(
  grey: GreyImage,
  [x, y]: readonly [number, number],
  pxPerMm: number,
): boolean {
  const steps = 72;
  const ring = new Float64Array(steps);
  for (let a = 0; a < steps; a++) {
    const t = (2 * Math.PI * a) / steps;
    for (const r of [1.3, 1.7, 2.1, 2.5]) {
      ring[a]! += greyAt(grey, x + r * pxPerMm * Math.cos(t), y + r * pxPerMm * Math.sin(t)) / 4;
    }
  }
  const sorted = ring.slice().sort();
  const paper = sorted[Math.floor(0.7 * steps)]!;
  for (let a = 0; a < steps / 4; a++) {
    const arm = (i: number): number =>
      Math.min(...[-1, 0, 1].map((j) => ring[(a + (i * steps) / 4 + j + steps) % steps]!));
    const between = (i: number): number => ring[(a + (i * steps) / 4 + steps / 8) % steps]!;
    const darkest = Math.max(arm(0), arm(1), arm(2), arm(3));
    const lightest = Math.min(between(0), between(1), between(2), between(3));
    if (paper - darkest > 20 && lightest - darkest > 20) return true;
  }
  return false;
}
