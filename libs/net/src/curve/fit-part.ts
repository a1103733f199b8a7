/**
 * One line, arc or cubic Bézier through a stretch of points, its two ends kept, within a tolerance.
 *
 * Points lie densely (a stretch of a polyline with its long chords divided), so that "every point
 * and every middle between two points is near" means "the whole curve is near".
 * Source of the cubic: least squares with fixed end directions and re-projection by Newton's
 * method, Schneider, "An algorithm for automatically fitting digitized curves", Graphics Gems,
 * 1990 (from memory).
 */
import type { CurvePart, XyMm } from '../net.js';
import { distanceMm, distanceToSegmentMm } from '../ring.js';
import { directionOfPart, unit } from './curve-parts.js';

export interface Fit {
  readonly part: CurvePart;
  /** Largest distance found between the points and the part. */
  readonly offMm: number;
}

/** The stretch `first` … `last` of `points`, and the unit directions of travel at its ends. */
export interface Stretch {
  readonly points: readonly XyMm[];
  readonly first: number;
  readonly last: number;
  /** null: free. */
  readonly startDirection: XyMm | null;
  readonly endDirection: XyMm | null;
}

/** Directions that differ by less are the same: half a degree is 0.1 mm over 12 mm of lead. */
export const SAME_DIRECTION_DEG = 0.5;
export const SAME_COS = Math.cos((SAME_DIRECTION_DEG * Math.PI) / 180);
/** Flatter arcs are written as cubics: a centre metres away says nothing to anybody. */
const MAX_RADIUS_MM = 5000;
const NEWTON_ROUNDS = 5;

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

export function fitCubic(stretch: Stretch, toleranceMm: number): Fit | null {
  const { points, first, last } = stretch;
  const a = points[first]!;
  const b = points[last]!;
  const chord = distanceMm(a, b);
  const start = stretch.startDirection ?? endDirection(points, first, 1, last);
  const end = stretch.endDirection ?? reversed(endDirection(points, last, -1, first));
  const count = last - first + 1;
  const u = new Float64Array(count);
  for (let i = 1; i < count; i++) {
    u[i] = u[i - 1]! + distanceMm(points[first + i - 1]!, points[first + i]!);
  }
  const length = u[count - 1]!;
  if (length === 0 || chord === 0) return null;
  for (let i = 1; i < count; i++) u[i]! /= length;
  for (let round = 0; ; round++) {
    const [alpha, beta] = handles(points, first, u, a, b, start, end, length);
    const part: CurvePart = {
      kind: 'cubic',
      c1Mm: [a[0] + alpha * start[0], a[1] + alpha * start[1]],
      c2Mm: [b[0] - beta * end[0], b[1] - beta * end[1]],
      toMm: b,
    };
    const offMm = cubicOff(points, first, u, a, part);
    if (offMm <= toleranceMm) return { part, offMm };
    if (round === NEWTON_ROUNDS || offMm > 12 * toleranceMm) return null;
    project(points, first, u, a, part);
  }
}

/** Least squares for the lengths of the two handles; a third of the length when that fails. */
function handles(
  points: readonly XyMm[],
  first: number,
  u: Float64Array,
  a: XyMm,
  b: XyMm,
  start: XyMm,
  end: XyMm,
  length: number,
): [alpha: number, beta: number] {
  let c00 = 0;
  let c01 = 0;
  let c11 = 0;
  let x0 = 0;
  let x1 = 0;
  const cosine = -(start[0] * end[0] + start[1] * end[1]);
  for (let i = 1; i < u.length - 1; i++) {
    const t = u[i]!;
    const s = 1 - t;
    const b1 = 3 * s * s * t;
    const b2 = 3 * s * t * t;
    const fromA = s * s * s + b1;
    const fromB = t * t * t + b2;
    const [px, py] = points[first + i]!;
    const dx = px - fromA * a[0] - fromB * b[0];
    const dy = py - fromA * a[1] - fromB * b[1];
    c00 += b1 * b1;
    c01 += b1 * b2 * cosine;
    c11 += b2 * b2;
    x0 += b1 * (dx * start[0] + dy * start[1]);
    x1 -= b2 * (dx * end[0] + dy * end[1]);
  }
  const det = c00 * c11 - c01 * c01;
  const third = length / 3;
  if (Math.abs(det) < 1e-9 * c00 * c11 || det === 0) return [third, third];
  const alpha = (x0 * c11 - x1 * c01) / det;
  const beta = (x1 * c00 - x0 * c01) / det;
  const isSound = (value: number) => value > 0.02 * length && value < 1.2 * length;
  if (isSound(alpha) && isSound(beta)) return [alpha, beta];
  return [third, third];
}

function cubicOff(
  points: readonly XyMm[],
  first: number,
  u: Float64Array,
  a: XyMm,
  part: CurvePart & { kind: 'cubic' },
): number {
  let worst = 0;
  const [ax, ay] = a;
  const [bx, by] = part.c1Mm;
  const [cx, cy] = part.c2Mm;
  const [dx, dy] = part.toMm;
  for (let i = 1; i < u.length; i++) {
    for (let half = 0; half < 2; half++) {
      const t = half === 0 ? u[i]! : (u[i]! + u[i - 1]!) / 2;
      const s = 1 - t;
      const wa = s * s * s;
      const wb = 3 * s * s * t;
      const wc = 3 * s * t * t;
      const wd = t * t * t;
      const x = wa * ax + wb * bx + wc * cx + wd * dx;
      const y = wa * ay + wb * by + wc * cy + wd * dy;
      const p = points[first + i]!;
      const q = points[first + i - 1]!;
      const off = half === 0 ? Math.hypot(x - p[0], y - p[1]) : distanceToSegmentMm([x, y], q, p);
      if (off > worst) worst = off;
    }
  }
  return worst;
}

/** Each point's parameter moved to its foot on the curve: one step of Newton's method. */
function project(
  points: readonly XyMm[],
  first: number,
  u: Float64Array,
  a: XyMm,
  { c1Mm, c2Mm, toMm }: CurvePart & { kind: 'cubic' },
): void {
  for (let i = 1; i < u.length - 1; i++) {
    const t = u[i]!;
    const s = 1 - t;
    const [px, py] = points[first + i]!;
    let dot = 0;
    let slope = 0;
    for (let axis = 0; axis < 2; axis++) {
      const [p0, p1, p2, p3] = [a[axis]!, c1Mm[axis]!, c2Mm[axis]!, toMm[axis]!];
      const value = s * s * s * p0 + 3 * s * s * t * p1 + 3 * s * t * t * p2 + t * t * t * p3;
      const d1 = 3 * (s * s * (p1 - p0) + 2 * s * t * (p2 - p1) + t * t * (p3 - p2));
      const d2 = 6 * (s * (p2 - 2 * p1 + p0) + t * (p3 - 2 * p2 + p1));
      const off = value - (axis === 0 ? px : py);
      dot += off * d1;
      slope += d1 * d1 + off * d2;
    }
    if (slope > 0) u[i] = Math.min(1, Math.max(0, t - dot / slope));
  }
  // Feet may not run back: the order of the points is the order of travel.
  for (let i = 1; i < u.length; i++) if (u[i]! < u[i - 1]!) u[i] = u[i - 1]!;
}

/**
 * Unit direction in which a line of points leaves one of its points: a parabola through that point
 * by least squares over the next few millimetres, so that neither noise nor bend turns it much.
 *
 * @param step 1 along the points, -1 back; `limit` is the last index that belongs to the stretch
 */
export function endDirection(
  points: readonly XyMm[],
  at: number,
  step: 1 | -1,
  limit: number,
): XyMm {
  const [x0, y0] = points[at]!;
  let run = 0;
  let s2 = 0;
  let s3 = 0;
  let s4 = 0;
  let x1 = 0;
  let y1 = 0;
  let x2 = 0;
  let y2 = 0;
  let used = 0;
  let before = points[at]!;
  for (let i = at + step; step > 0 ? i <= limit : i >= limit; i += step) {
    const p = points[i]!;
    run += distanceMm(before, p);
    before = p;
    const r2 = run * run;
    s2 += r2;
    s3 += r2 * run;
    s4 += r2 * r2;
    x1 += run * (p[0] - x0);
    y1 += run * (p[1] - y0);
    x2 += r2 * (p[0] - x0);
    y2 += r2 * (p[1] - y0);
    used++;
    if (run >= DIRECTION_REACH_MM && used >= 3) break;
  }
  const det = s2 * s4 - s3 * s3;
  if (used < 3 || det <= 1e-9 * s2 * s4) return unit([before[0] - x0, before[1] - y0]);
  return unit([x1 * s4 - x2 * s3, y1 * s4 - y2 * s3]);
}

const DIRECTION_REACH_MM = 8;

export function reversed([x, y]: XyMm): XyMm {
  return [0 - x, 0 - y];
}

function agrees({ startDirection, endDirection: wanted }: Stretch, start: XyMm, end: XyMm) {
  const same = (a: XyMm | null, b: XyMm) => a === null || a[0] * b[0] + a[1] * b[1] >= SAME_COS;
  return same(startDirection, start) && same(wanted, end);
}

/** Points that run past an end of the arc lie on its circle but not on it. */
function isWithinSweep(
  points: readonly XyMm[],
  first: number,
  last: number,
  { centreMm, clockwise }: CurvePart & { kind: 'arc' },
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
