/**
 * One cubic Bézier through a stretch of points: least squares at parameters that are moved to the
 * points' feet on the curve after each round.
 *
 * Source: Schneider, "An algorithm for automatically fitting digitized curves", Graphics Gems, 1990;
 * distances taken across the curve as in Wang, Pottmann and Liu, "Fitting B-spline curves to point
 * clouds by curvature-based squared distance minimization", 2006 (both from memory).
 */
import type { XyMm } from '../net.js';
import { distanceMm } from '../ring.js';
import type { CubicPart } from './curve-parts.js';
import { endDirection, reversed } from './end-direction.js';
import type { Fit, Stretch } from './stretch.js';

const ROUNDS = 10;

export function fitCubic(stretch: Stretch, toleranceMm: number): Fit | null {
  const { points, first, last } = stretch;
  const a = points[first]!;
  const b = points[last]!;
  const count = last - first + 1;
  const u = new Float64Array(count);
  for (let i = 1; i < count; i++) {
    u[i] = u[i - 1]! + distanceMm(points[first + i - 1]!, points[first + i]!);
  }
  const length = u[count - 1]!;
  if (length === 0 || distanceMm(a, b) === 0) return null;
  for (let i = 1; i < count; i++) u[i]! /= length;
  let part: CubicPart | null = null;
  let before = Infinity;
  for (let round = 0; ; round++) {
    part = cubicBySquares(stretch, u, length, part);
    const offMm = cubicOff(points, first, u, a, part);
    if (offMm <= toleranceMm) return { part, offMm };
    // A round that gains little is followed by others that gain less.
    const isHopeless = offMm > 40 * toleranceMm || (round > 1 && offMm > 0.85 * before);
    if (round === ROUNDS || isHopeless) return null;
    before = offMm;
    project(points, first, u, a, part);
  }
}

/**
 * The two control points by least squares at the parameters given: on the ray of an end direction
 * where there is one, else anywhere. With a curve from the round before, distances count across it
 * and hardly along it, which finds the answer in a few rounds (Gauss-Newton on the distances).
 * Handles of a third of the length when the answer is no curve that a lead could take.
 */
function cubicBySquares(
  { points, first, last, startDirection, endDirection: endWanted }: Stretch,
  u: Float64Array,
  length: number,
  before: CubicPart | null,
): CubicPart {
  const a = points[first]!;
  const b = points[last]!;
  const start = startDirection ?? endDirection(points, first, 1, last);
  const end = endWanted ?? reversed(endDirection(points, last, -1, first));
  // One unknown a column: a way that the first (up to `split`) or the second control point can go.
  const ways = [
    ...(startDirection === null ? AXES : [startDirection]),
    ...(endWanted === null ? AXES : [endWanted]),
  ];
  const split = startDirection === null ? 2 : 1;
  const size = ways.length;
  const matrix = new Float64Array(size * (size + 1));
  for (let i = 1; i < u.length - 1; i++) {
    const t = u[i]!;
    const s = 1 - t;
    const b1 = 3 * s * s * t;
    const b2 = 3 * s * t * t;
    const fromA = s * s * s + b1;
    const fromB = t * t * t + b2;
    const dx = points[first + i]![0] - fromA * a[0] - fromB * b[0];
    const dy = points[first + i]![1] - fromA * a[1] - fromB * b[1];
    const [wxx, wxy, wyy] = before === null ? ROUND_WEIGHT : weightAcross(a, before, t);
    for (let row = 0; row < size; row++) {
      const share = row < split ? b1 : b2;
      const [x, y] = ways[row]!;
      const px = share * (wxx * x + wxy * y);
      const py = share * (wxy * x + wyy * y);
      for (let column = row; column < size; column++) {
        const other = column < split ? b1 : b2;
        matrix[row * (size + 1) + column]! +=
          other * (px * ways[column]![0] + py * ways[column]![1]);
      }
      matrix[row * (size + 1) + size]! += px * dx + py * dy;
    }
  }
  const found = u.length > 3 ? solveSymmetric(matrix, size) : null;
  if (found !== null) {
    let [x1, y1, x2, y2] = [0, 0, 0, 0];
    ways.forEach(([x, y], i) => {
      if (i < split) {
        x1 += found[i]! * x;
        y1 += found[i]! * y;
      } else {
        x2 += found[i]! * x;
        y2 += found[i]! * y;
      }
    });
    if (isHandle(x1, y1, start, length) && isHandle(-x2, -y2, end, length)) {
      return { kind: 'cubic', c1Mm: [a[0] + x1, a[1] + y1], c2Mm: [b[0] + x2, b[1] + y2], toMm: b };
    }
  }
  const third = length / 3;
  return {
    kind: 'cubic',
    c1Mm: [a[0] + third * start[0], a[1] + third * start[1]],
    c2Mm: [b[0] - third * end[0], b[1] - third * end[1]],
    toMm: b,
  };
}

const AXES: readonly XyMm[] = [
  [1, 0],
  [0, 1],
];
const ROUND_WEIGHT = [1, 0, 1] as const;
/** What a distance along the curve counts beside one across it: enough to keep the sums solvable. */
const ALONG_WEIGHT = 0.02;

/** Weight matrix (xx, xy, yy) of a distance at one parameter of a curve. */
function weightAcross(fromMm: XyMm, { c1Mm, c2Mm, toMm }: CubicPart, t: number) {
  const s = 1 - t;
  const slope = (axis: 0 | 1) =>
    s * s * (c1Mm[axis] - fromMm[axis]) +
    2 * s * t * (c2Mm[axis] - c1Mm[axis]) +
    t * t * (toMm[axis] - c2Mm[axis]);
  const dx = slope(0);
  const dy = slope(1);
  const length2 = dx * dx + dy * dy;
  if (length2 === 0) return ROUND_WEIGHT;
  const k = (1 - ALONG_WEIGHT) / length2;
  return [1 - k * dx * dx, -k * dx * dy, 1 - k * dy * dy] as const;
}

function isHandle(x: number, y: number, [rayX, rayY]: XyMm, length: number): boolean {
  const along = x * rayX + y * rayY;
  return along > 0.02 * length && along > 0.8 * Math.hypot(x, y) && along < 1.2 * length;
}

/**
 * Solves a symmetric positive system of up to four unknowns; rows of `size` + 1, the right side
 * last, only the upper half filled. Null when it has no one answer. Cholesky without roots.
 */
function solveSymmetric(matrix: Float64Array, size: number): number[] | null {
  const width = size + 1;
  for (let k = 0; k < size; k++) {
    const pivot = matrix[k * width + k]!;
    if (!(pivot > 1e-12)) return null;
    for (let i = k + 1; i < size; i++) {
      const factor = matrix[k * width + i]! / pivot;
      for (let j = i; j <= size; j++) matrix[i * width + j]! -= factor * matrix[k * width + j]!;
    }
  }
  const out = new Array<number>(size).fill(0);
  for (let k = size - 1; k >= 0; k--) {
    let sum = matrix[k * width + size]!;
    for (let j = k + 1; j < size; j++) sum -= matrix[k * width + j]! * out[j]!;
    out[k] = sum / matrix[k * width + k]!;
  }
  return out;
}

/** Largest distance at the points and half way between them; squares, since roots are most of it. */
function cubicOff(
  points: readonly XyMm[],
  first: number,
  u: Float64Array,
  a: XyMm,
  part: CubicPart,
): number {
  let worst = 0;
  const [ax, ay] = a;
  const [bx, by] = part.c1Mm;
  const [cx, cy] = part.c2Mm;
  const [dx, dy] = part.toMm;
  for (let i = 1; i < u.length; i++) {
    const p = points[first + i]!;
    const q = points[first + i - 1]!;
    for (let half = 0; half < 2; half++) {
      const t = half === 0 ? u[i]! : (u[i]! + u[i - 1]!) / 2;
      const s = 1 - t;
      const wa = s * s * s;
      const wb = 3 * s * s * t;
      const wc = 3 * s * t * t;
      const wd = t * t * t;
      const x = wa * ax + wb * bx + wc * cx + wd * dx - p[0];
      const y = wa * ay + wb * by + wc * cy + wd * dy - p[1];
      const off2 = half === 0 ? x * x + y * y : offSegment2(x, y, q[0] - p[0], q[1] - p[1]);
      if (off2 > worst) worst = off2;
    }
  }
  return Math.sqrt(worst);
}

/** Squared distance of (x, y) from the segment between the origin and (ux, uy). */
function offSegment2(x: number, y: number, ux: number, uy: number): number {
  const length2 = ux * ux + uy * uy;
  const t = length2 === 0 ? 0 : Math.min(1, Math.max(0, (x * ux + y * uy) / length2));
  const ex = x - t * ux;
  const ey = y - t * uy;
  return ex * ex + ey * ey;
}

/** Each point's parameter moved to its foot on the curve: one step of Newton's method. */
function project(
  points: readonly XyMm[],
  first: number,
  u: Float64Array,
  a: XyMm,
  { c1Mm, c2Mm, toMm }: CubicPart,
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
