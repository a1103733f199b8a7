/** How one lead's line changes its shape: cut, bent, carried along by its ends, drawn through points. */
import type { XyMm } from '../net.js';
import {
  distanceMm,
  distanceToSegmentMm,
  pointAlongMm,
  polylineLengthMm,
  roundXy,
} from '../ring.js';
import { simplifyLine } from '../simplify.js';

/** A drawn curve leaves the true one by less than this; leads are fitted to 0.15 mm (net.ts). */
const CURVE_ERROR_MM = 0.03;
/** Points this close together show a bend smoothly at any zoom of the bench. */
const CURVE_STEP_MM = 1.5;
/** A lead that leaves its chord by less is straight to the eye and stays so. */
const STRAIGHT_MM = 0.4;

/** Where a line comes nearest to a place. */
export interface PlaceOnLine {
  readonly alongMm: number;
  readonly xyMm: XyMm;
  readonly offMm: number;
}

export function nearestOnLine(line: readonly XyMm[], [px, py]: XyMm): PlaceOnLine {
  let best: PlaceOnLine = { alongMm: 0, xyMm: line[0]!, offMm: Infinity };
  let along = 0;
  for (let i = 1; i < line.length; i++) {
    const a = line[i - 1]!;
    const b = line[i]!;
    const ux = b[0] - a[0];
    const uy = b[1] - a[1];
    const length = Math.hypot(ux, uy);
    if (length > 0) {
      const t = Math.min(1, Math.max(0, ((px - a[0]) * ux + (py - a[1]) * uy) / length ** 2));
      const xyMm: XyMm = [a[0] + t * ux, a[1] + t * uy];
      const offMm = Math.hypot(px - xyMm[0], py - xyMm[1]);
      if (offMm < best.offMm) best = { alongMm: along + t * length, xyMm, offMm };
    }
    along += length;
  }
  return best;
}

/** The line before and after a place along it; the place ends the one and begins the other. */
export function cutLine(line: readonly XyMm[], alongMm: number): [XyMm[], XyMm[]] {
  const at = roundXy(pointAlongMm(line, alongMm));
  const before: XyMm[] = [line[0]!];
  const after: XyMm[] = [at];
  let along = 0;
  for (let i = 1; i < line.length; i++) {
    along += distanceMm(line[i - 1]!, line[i]!);
    const isLast = i === line.length - 1;
    if (along < alongMm - 1e-6 && !isLast) before.push(line[i]!);
    else if (along > alongMm + 1e-6 || isLast) after.push(line[i]!);
  }
  before.push(at);
  return [before, after];
}

/** Largest distance of the line's points from its chord. */
export function sagMm(line: readonly XyMm[]): number {
  const first = line[0]!;
  const last = line[line.length - 1]!;
  return Math.max(0, ...line.map((point) => distanceToSegmentMm(point, first, last)));
}

export function isStraight(line: readonly XyMm[]): boolean {
  return sagMm(line) < STRAIGHT_MM;
}

/** Unit vector in which a line leaves its first point, looked at over the first `overMm`. */
export function leavingDirection(line: readonly XyMm[], overMm = 4): XyMm {
  const a = line[0]!;
  const b = pointAlongMm(line, Math.min(overMm, polylineLengthMm(line)));
  const length = distanceMm(a, b);
  return length === 0 ? [1, 0] : [(b[0] - a[0]) / length, (b[1] - a[1]) / length];
}

/**
 * The line carried along when its ends move. A straight lead stays straight. Along a curved one the
 * move fades out evenly, or, where the lead runs on smoothly beyond a moved end, so that it keeps its
 * direction there.
 */
export function carryEnds(
  line: readonly XyMm[],
  byFrom: XyMm,
  byTo: XyMm,
  keepsDirection: boolean,
): XyMm[] {
  const length = polylineLengthMm(line);
  const straight = isStraight(line);
  const points = straight || !keepsDirection ? line : densified(line);
  let along = 0;
  return points.map((point, i) => {
    if (i > 0) along += distanceMm(points[i - 1]!, point);
    const t = i === points.length - 1 ? 1 : length === 0 ? 0 : along / length;
    const share = keepsDirection && !straight ? t * t * (3 - 2 * t) : t;
    return roundXy([
      point[0] + byFrom[0] * (1 - share) + byTo[0] * share,
      point[1] + byFrom[1] * (1 - share) + byTo[1] * share,
    ]);
  });
}

/**
 * The line with the place `alongMm` pulled to another; the pull fades out like a cosine within
 * `reachMm` and ends at the joints, so that both ends stay and no kink comes.
 */
export function bendLine(
  line: readonly XyMm[],
  alongMm: number,
  byMm: XyMm,
  reachMm = Infinity,
): XyMm[] {
  const length = polylineLengthMm(line);
  const before = Math.max(1e-6, Math.min(alongMm, reachMm));
  const after = Math.max(1e-6, Math.min(length - alongMm, reachMm));
  const points = densified(line);
  let along = 0;
  const bent = points.map((point, i): XyMm => {
    if (i > 0) along += distanceMm(points[i - 1]!, point);
    if (i === 0 || i === points.length - 1) return point;
    const off = along < alongMm ? (alongMm - along) / before : (along - alongMm) / after;
    const share = off >= 1 ? 0 : (1 + Math.cos(Math.PI * off)) / 2;
    return [point[0] + byMm[0] * share, point[1] + byMm[1] * share];
  });
  return tidyLine(bent);
}

/**
 * A smooth line through points in order: a centripetal Catmull-Rom curve, which makes no loops
 * between unevenly spaced points; two points give a straight line.
 * Source: Yuksel, Schaefer and Keyser, "Parameterization and applications of Catmull-Rom curves",
 * 2011 (from memory).
 */
export function curveThrough(points: readonly XyMm[]): XyMm[] {
  const apart = points.filter((point, i) => i === 0 || distanceMm(points[i - 1]!, point) > 1e-3);
  if (apart.length < 3) return apart.map(roundXy);
  const first = apart[0]!;
  const last = apart[apart.length - 1]!;
  const all = [mirrored(first, apart[1]!), ...apart, mirrored(last, apart[apart.length - 2]!)];
  const out: XyMm[] = [first];
  for (let i = 1; i + 2 < all.length; i++) {
    const [p0, p1, p2, p3] = [all[i - 1]!, all[i]!, all[i + 1]!, all[i + 2]!];
    const steps = Math.max(2, Math.ceil(distanceMm(p1, p2) / CURVE_STEP_MM));
    for (let k = 1; k <= steps; k++) out.push(catmullRom(p0, p1, p2, p3, k / steps));
  }
  return tidyLine(out);
}

/** A cubic from `a` leaving along `leaveA` to `b` arriving against `leaveB` (both point outwards). */
export function curveAcross(a: XyMm, leaveA: XyMm, b: XyMm, leaveB: XyMm | null): XyMm[] {
  const gap = distanceMm(a, b);
  const reach = gap / 3;
  const c1: XyMm = [a[0] + leaveA[0] * reach, a[1] + leaveA[1] * reach];
  const c2: XyMm =
    leaveB === null
      ? [b[0] - (b[0] - c1[0]) / 3, b[1] - (b[1] - c1[1]) / 3]
      : [b[0] + leaveB[0] * reach, b[1] + leaveB[1] * reach];
  const steps = Math.max(2, Math.ceil(gap / CURVE_STEP_MM));
  const out: XyMm[] = [];
  for (let i = 0; i <= steps; i++) {
    const t = i / steps;
    const u = 1 - t;
    const [w0, w1, w2, w3] = [u ** 3, 3 * u * u * t, 3 * u * t * t, t ** 3];
    out.push([
      w0 * a[0] + w1 * c1[0] + w2 * c2[0] + w3 * b[0],
      w0 * a[1] + w1 * c1[1] + w2 * c2[1] + w3 * b[1],
    ]);
  }
  return tidyLine(out);
}

function tidyLine(line: readonly XyMm[]): XyMm[] {
  return simplifyLine(line, CURVE_ERROR_MM)
    .map(roundXy)
    .filter((point, i, all) => i === 0 || distanceMm(all[i - 1]!, point) > 0);
}

/** The line's own points and others between them, nowhere farther apart than a step. */
function densified(line: readonly XyMm[]): XyMm[] {
  const out: XyMm[] = [line[0]!];
  for (let i = 1; i < line.length; i++) {
    const a = line[i - 1]!;
    const b = line[i]!;
    const parts = Math.max(1, Math.ceil(distanceMm(a, b) / CURVE_STEP_MM));
    for (let k = 1; k < parts; k++) {
      out.push([a[0] + ((b[0] - a[0]) * k) / parts, a[1] + ((b[1] - a[1]) * k) / parts]);
    }
    out.push(b);
  }
  return out;
}

function mirrored(centre: XyMm, point: XyMm): XyMm {
  return [2 * centre[0] - point[0], 2 * centre[1] - point[1]];
}

/** Barry and Goldman's pyramid with knots at the square root of the distances. */
function catmullRom(p0: XyMm, p1: XyMm, p2: XyMm, p3: XyMm, t: number): XyMm {
  const t1 = Math.sqrt(distanceMm(p0, p1));
  const t2 = t1 + Math.sqrt(distanceMm(p1, p2));
  const t3 = t2 + Math.sqrt(distanceMm(p2, p3));
  const at = t1 + t * (t2 - t1);
  const mix = (a: XyMm, b: XyMm, ta: number, tb: number): XyMm => {
    const share = (at - ta) / (tb - ta);
    return [a[0] + (b[0] - a[0]) * share, a[1] + (b[1] - a[1]) * share];
  };
  const a1 = mix(p0, p1, 0, t1);
  const a2 = mix(p1, p2, t1, t2);
  const a3 = mix(p2, p3, t2, t3);
  return mix(mix(a1, a2, 0, t2), mix(a2, a3, t1, t3), t1, t2);
}
