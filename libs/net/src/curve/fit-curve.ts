/**
 * A line of points as few lines, arcs and cubic Béziers, smooth where they join.
 *
 * No kept package does this (those at hand fit Béziers only, one stroke at a time, without given
 * end directions), so it is our own. Greedy from either end: each part takes the longest stretch it
 * can. The two answers have the same number of parts; the joins are put half way between theirs, so
 * that no part is squeezed into a corner.
 */
import type { CurvePart, XyMm } from '../net.js';
import { distanceMm } from '../ring.js';
import { simplifyLine } from '../simplify.js';
import { roundPart, unit } from './curve-parts.js';
import { endDirection, reversed } from './end-direction.js';
import { fitPart } from './fit-part.js';
import type { Fit, Stretch } from './stretch.js';

export interface CurveEnds {
  /** Unit direction of travel at the start and at the end; null or absent: as the points have it. */
  readonly startDirection?: XyMm | null;
  readonly endDirection?: XyMm | null;
}

/** What a fitted lead may leave its line by; with rounding it stays far below the promised 0.15. */
export const CURVE_TOLERANCE_MM = 0.1;
/** A bend sharper than this within a millimetre or two is a corner and stays one. */
export const CORNER_DEG = 22;
/** Points that say nothing more than this are left out before the fit: a third of its cost. */
const THIN_MM = 0.02;
const STEP_MM = 2;

/**
 * Fits parts to a polyline, both ends kept exactly.
 *
 * Tangent-continuous (within half a degree) except at corners of more than {@link CORNER_DEG}.
 * Where an end direction cannot be kept within the tolerance it is given up rather than the
 * tolerance.
 *
 * @param line at least two points, none repeated
 * @returns parts from the first point on, rounded to 0.001 mm
 */
export function fitCurve(
  line: readonly XyMm[],
  toleranceMm: number,
  ends: CurveEnds = {},
): CurvePart[] {
  const points = fitPoints(line);
  const last = points.length - 1;
  const corners = [0, ...cornersOf(points, false), last];
  const parts: CurvePart[] = [];
  for (let i = 1; i < corners.length; i++) {
    const first = corners[i - 1]!;
    const stretch: Stretch = {
      points,
      first,
      last: corners[i]!,
      startDirection: (first === 0 && ends.startDirection) || null,
      endDirection: (corners[i] === last && ends.endDirection) || null,
    };
    parts.push(...smoothParts(stretch, toleranceMm));
  }
  return parts.map(roundPart);
}

/**
 * The same for a closed ring (closing edge implied): the curve begins and ends at `fromMm`, a
 * corner when there is one.
 */
export function fitRing(
  ring: readonly XyMm[],
  toleranceMm: number,
): { fromMm: XyMm; parts: CurvePart[] } {
  const closed = fitPoints([...ring, ring[0]!]);
  const open = closed.slice(0, -1);
  const [corner = 0, ...more] = cornersOf(open, true);
  const points = [...open.slice(corner), ...open.slice(0, corner + 1)];
  const isSmooth = more.length === 0 && cornersOf(open, true).length === 0;
  const direction = isSmooth ? tangentAt([...open.slice(-8), ...points], 8) : null;
  const parts = fitCurve(points, toleranceMm, {
    startDirection: direction,
    endDirection: direction,
  });
  return { fromMm: points[0]!, parts };
}

function smoothParts(stretch: Stretch, toleranceMm: number): CurvePart[] {
  const whole = fitPart(stretch, toleranceMm);
  if (whole !== null) return [whole.part];
  const { points, first, last } = stretch;
  const tangents = new Map<number, XyMm>();
  const tangent = (at: number): XyMm => {
    const known = tangents.get(at);
    if (known !== undefined) return known;
    const found = tangentAt(points, at, first, last);
    tangents.set(at, found);
    return found;
  };
  const tried = new Map<number, Fit | null>();
  const fit = (from: number, to: number): Fit | null => {
    const key = from * points.length + to;
    const known = tried.get(key);
    if (known !== undefined) return known;
    const found = fitPart(
      {
        points,
        first: from,
        last: to,
        startDirection: from === first ? stretch.startDirection : tangent(from),
        endDirection: to === last ? stretch.endDirection : tangent(to),
      },
      toleranceMm,
    );
    tried.set(key, found);
    return found;
  };
  const forward = breaks(first, last, (at, by) => fit(at, at + by));
  const backward = breaks(last, first, (at, by) => fit(at - by, at));
  if (forward === null || backward === null) {
    if (stretch.startDirection !== null || stretch.endDirection !== null) {
      return smoothParts({ ...stretch, startDirection: null, endDirection: null }, toleranceMm);
    }
    return points.slice(first + 1, last + 1).map((toMm) => ({ kind: 'line', toMm }));
  }
  if (forward.length === backward.length) {
    const back = backward.toReversed();
    const middle = forward.map((at, i) => Math.round((at + back[i]!) / 2));
    const fits = joined(middle, fit);
    if (fits !== null) return fits;
  }
  return joined(forward.length <= backward.length ? forward : backward.toReversed(), fit)!;
}

/** Indices of the ends of the parts, start included, each part as long as it can be; or null. */
function breaks(
  start: number,
  end: number,
  fits: (at: number, by: number) => unknown,
): number[] | null {
  const sign = end > start ? 1 : -1;
  const out = [start];
  for (let at = start; at !== end; ) {
    let low = 0;
    let high = Math.abs(end - at);
    if (fits(at, high) !== null) low = high;
    while (low < high && high - low > 1) {
      const middle = (low + high) >> 1;
      if (fits(at, middle) !== null) low = middle;
      else high = middle;
    }
    if (low === 0) return null;
    at += sign * low;
    out.push(at);
  }
  return out;
}

function joined(
  at: readonly number[],
  fit: (from: number, to: number) => Fit | null,
): CurvePart[] | null {
  const parts: CurvePart[] = [];
  for (let i = 1; i < at.length; i++) {
    if (at[i]! <= at[i - 1]!) return null;
    const found = fit(at[i - 1]!, at[i]!);
    if (found === null) return null;
    parts.push(found.part);
  }
  return parts;
}

/** Direction of travel at a point inside a line: the mean of what its two sides say. */
function tangentAt(points: readonly XyMm[], at: number, first = 0, last = points.length - 1): XyMm {
  const ahead = endDirection(points, at, 1, last);
  const behind = reversed(endDirection(points, at, -1, first));
  return unit([ahead[0] + behind[0], ahead[1] + behind[1]]);
}

/** A line's points as the fits take them: no more than say something, none far from the next. */
export function fitPoints(line: readonly XyMm[]): XyMm[] {
  const thin = simplifyLine(line, THIN_MM);
  const out: XyMm[] = [thin[0]!];
  for (let i = 1; i < thin.length; i++) {
    const [ax, ay] = thin[i - 1]!;
    const [bx, by] = thin[i]!;
    const steps = Math.ceil(distanceMm(thin[i - 1]!, thin[i]!) / STEP_MM);
    for (let k = 1; k < steps; k++) {
      const t = k / steps;
      out.push([ax + t * (bx - ax), ay + t * (by - ay)]);
    }
    out.push(thin[i]!);
  }
  return out;
}

/** Indices of points where the line turns sharply, judged between neighbours. */
function cornersOf(points: readonly XyMm[], isClosed: boolean): number[] {
  const count = points.length;
  const limit = Math.cos((CORNER_DEG * Math.PI) / 180);
  const out: number[] = [];
  for (let i = isClosed ? 0 : 1; i < (isClosed ? count : count - 1); i++) {
    const p = points[i]!;
    const before = points[(i + count - 1) % count]!;
    const after = points[(i + 1) % count]!;
    const a = unit([p[0] - before[0], p[1] - before[1]]);
    const b = unit([after[0] - p[0], after[1] - p[1]]);
    if (a[0] * b[0] + a[1] * b[1] < limit) out.push(i);
  }
  return out;
}
