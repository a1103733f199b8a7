/**
 * One line, arc or cubic Bézier through a stretch of points, its two ends kept, within a tolerance.
 *
 * Points lie densely (a stretch of a polyline with its long chords divided), so that "every point
 * and every middle between two points is near" means "the whole curve is near".
 */
import type { CurvePart, XyMm } from '../net.js';
import { distanceMm, distanceToSegmentMm } from '../ring.js';
import { type ArcPart, directionOfPart, unit } from './curve-parts.js';
import { fitCubic } from './fit-cubic.js';
import type { Fit, Stretch } from './stretch.js';

/** Two parts that meet within this are smooth: half a degree is 0.1 mm over 12 mm of lead. */
export const SMOOTH_DEG = 0.5;
/** Each of the two may therefore differ by half of it from the direction they share. */
const SHARED_COS = Math.cos((SMOOTH_DEG / 2 / 180) * Math.PI);
/** Flatter arcs are written as cubics: a centre metres away says nothing to anybody. */
const MAX_RADIUS_MM = 5000;

/** The simplest part that stays within the tolerance; null when none does. */
export function fitPart(stretch: Stretch, toleranceMm: number): Fit | null {
  return (
    fitLine(stretch, toleranceMm) ?? fitArc(stretch, toleranceMm) ?? fitCubic(stretch, toleranceMm)
  );
}

export function fitLine(stretch: Stretch, toleranceMm: number): Fit | null {
  const { points, first, last } = stretch;
  const a = points[first]!;
  const b = points[last]!;
  if (!agrees(stretch, unit([b[0] - a[0], b[1] - a[1]]), unit([b[0] - a[0], b[1] - a[1]]))) {
    return null;
  }
  let offMm = 0;
  for (let i = first + 1; i < last; i++) {
    const off = distanceToSegmentMm(points[i]!, a, b);
    if (off > toleranceMm) return null;
    if (off > offMm) offMm = off;
  }
  return { part: { kind: 'line', toMm: b }, offMm };
}

/** An arc over the chord, its height from every point between, in the middle weighing most. */
export function fitArc(stretch: Stretch, toleranceMm: number): Fit | null {
  const { points, first, last } = stretch;
  const a = points[first]!;
  const b = points[last]!;
  const chord = distanceMm(a, b);
  if (last - first < 3 || chord < 1e-3) return null;
  const [ux, uy] = unit([b[0] - a[0], b[1] - a[1]]);
  // In the chord's own frame (x along it from its middle, y across): a circle through both ends
  // is x² + y² - 2ky = c²/4; k, the place of its centre across, by least squares over the points.
  let top = 0;
  let bottom = 0;
  const quarter = (chord * chord) / 4;
  for (let i = first + 1; i < last; i++) {
    const dx = points[i]![0] - a[0];
    const dy = points[i]![1] - a[1];
    const x = dx * ux + dy * uy - chord / 2;
    const y = dy * ux - dx * uy;
    top += (x * x + y * y - quarter) * 2 * y;
    bottom += 4 * y * y;
  }
  if (bottom === 0) return null;
  const k = top / bottom;
  const radius = Math.hypot(k, chord / 2);
  if (radius > MAX_RADIUS_MM) return null;
  const centreMm: XyMm = [(a[0] + b[0]) / 2 - k * uy, (a[1] + b[1]) / 2 + k * ux];
  const middle = points[(first + last) >> 1]!;
  const side = (middle[1] - a[1]) * ux - (middle[0] - a[0]) * uy;
  // Over the chord's right hand (y down: positive side) the way round is against the clock.
  const part: CurvePart = { kind: 'arc', toMm: b, centreMm, clockwise: side < 0 };
  if (!agrees(stretch, directionOfPart(a, part, 'start'), directionOfPart(a, part, 'end'))) {
    return null;
  }
  let offMm = 0;
  let before = a;
  for (let i = first + 1; i <= last; i++) {
    const p = points[i]!;
    const off = Math.max(
      Math.abs(distanceMm(p, centreMm) - radius),
      Math.abs(
        Math.hypot((p[0] + before[0]) / 2 - centreMm[0], (p[1] + before[1]) / 2 - centreMm[1]) -
          radius,
      ),
    );
    if (off > toleranceMm) return null;
    if (off > offMm) offMm = off;
    before = p;
  }
  return isWithinSweep(points, first, last, part) ? { part, offMm } : null;
}

function agrees({ startDirection, endDirection: wanted }: Stretch, start: XyMm, end: XyMm) {
  const same = (a: XyMm | null, b: XyMm) => a === null || a[0] * b[0] + a[1] * b[1] >= SHARED_COS;
  return same(startDirection, start) && same(wanted, end);
}

/** Points that run past an end of the arc lie on its circle but not on it. */
function isWithinSweep(
  points: readonly XyMm[],
  first: number,
  last: number,
  { centreMm, clockwise }: ArcPart,
): boolean {
  const [cx, cy] = centreMm;
  for (let i = first + 1; i <= last; i++) {
    const [ax, ay] = points[i - 1]!;
    const [bx, by] = points[i]!;
    const turn = (ax - cx) * (by - cy) - (ay - cy) * (bx - cx);
    if (clockwise ? turn < 0 : turn > 0) return false;
  }
  return true;
}
