/** Refusals of taps that cannot carry a flattening, before and after the fit. */
import { RubbingError } from './rubbing-error.js';

/** @throws RubbingError 'marks-coincident', 'marks-collinear' */
export function refuseUnusable(
  taps: Float64Array,
  names: readonly string[],
  image: { readonly widthPx: number; readonly heightPx: number },
): void {
  const n = taps.length / 2;
  const near = 0.02 * Math.hypot(image.widthPx, image.heightPx);
  for (let i = 0; i < n; i++) {
    for (let j = 0; j < i; j++) {
      if (Math.hypot(taps[2 * i]! - taps[2 * j]!, taps[2 * i + 1]! - taps[2 * j + 1]!) < near) {
        throw new RubbingError(
          'marks-coincident',
          `Marks ${names[j]} and ${names[i]} were tapped at the same place: tap each mark once, in order.`,
          { first: names[j]!, second: names[i]! },
        );
      }
    }
  }
  refuseCollinear(taps, names);
}

/** Three of four marks on one line leave the flattening undetermined. @throws RubbingError 'marks-collinear' */
export function refuseCollinear(xy: Float64Array, names: readonly string[]): void {
  const n = xy.length / 2;
  if (n < 4) return;
  if (n > 4) {
    // enough that four of them span a quadrilateral: all, or all but one, on one line is refused
    for (let skip = -1; skip < n; skip++) {
      if (spreadRatio(xy.filter((_, i) => i >> 1 !== skip)) > 0.02) continue;
      throw new RubbingError(
        'marks-collinear',
        skip < 0
          ? 'All marks lie on one line: add marks beside it.'
          : `All marks but ${names[skip]} lie on one line: add a mark beside it.`,
      );
    }
    return;
  }
  for (let skip = 0; skip < n; skip++) {
    if (spreadRatio(xy.filter((_, i) => i >> 1 !== skip)) >= 0.02) continue;
    const on = names.filter((_, k) => k !== skip).join(', ');
    throw new RubbingError(
      'marks-collinear',
      `Marks ${on} lie on one line, so the sheet cannot be flattened: use the four corners.`,
      { marks: on },
    );
  }
}

/** Smaller over larger principal spread of the points, 0 for points on a line. */
function spreadRatio(xy: Float64Array): number {
  const n = xy.length / 2;
  let mx = 0;
  let my = 0;
  for (let k = 0; k < n; k++) {
    mx += xy[2 * k]! / n;
    my += xy[2 * k + 1]! / n;
  }
  let a = 0;
  let b = 0;
  let c = 0;
  for (let k = 0; k < n; k++) {
    const x = xy[2 * k]! - mx;
    const y = xy[2 * k + 1]! - my;
    a += x * x;
    b += x * y;
    c += y * y;
  }
  const mean = (a + c) / 2;
  const root = Math.sqrt(Math.max(0, ((a - c) / 2) ** 2 + b * b));
  return Math.sqrt(Math.max(0, mean - root) / Math.max(1e-12, mean + root));
}
