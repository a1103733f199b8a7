/**
 * Curves as chains of arcs and lines, for files whose polylines know nothing else: each vertex with
 * the tangent of a quarter of the angle that the arc to the next one turns through (0: a line).
 *
 * A cubic becomes pairs of arcs with a common tangent, halved until they stay within the error.
 * Source: the biarc with equal handles, Bolton, "Biarc curves", 1975 (from memory).
 */
import type { XyMm } from '../net.js';
import { distanceMm } from '../ring.js';
import {
  arcSweep,
  type CubicPart,
  type Curve,
  directionOfPart,
  pointOfPart,
} from './curve-parts.js';

export interface BulgeVertex {
  readonly xyMm: XyMm;
  /** Positive when the angle from +x towards +y grows along the arc. */
  readonly bulge: number;
}

const MAX_HALVINGS = 10;
const SAMPLES = 7;

/** The last vertex is the curve's end and has no bulge; leave it out for a closed curve. */
export function bulgeVertices({ fromMm, parts }: Curve, errorMm: number): BulgeVertex[] {
  const out: BulgeVertex[] = [];
  let from = fromMm;
  for (const part of parts) {
    if (part.kind === 'line') out.push({ xyMm: from, bulge: 0 });
    else if (part.kind === 'arc') {
      out.push({ xyMm: from, bulge: Math.tan(arcSweep(from, part) / 4) });
    } else halve(from, part, errorMm, MAX_HALVINGS, out);
    from = part.toMm;
  }
  out.push({ xyMm: from, bulge: 0 });
  return out;
}

function halve(
  fromMm: XyMm,
  part: CubicPart,
  errorMm: number,
  halvings: number,
  out: BulgeVertex[],
): void {
  const pair = biarc(fromMm, part);
  if (pair !== null && isNear(fromMm, part, pair, errorMm)) {
    out.push(pair[0], pair[1]);
    return;
  }
  if (halvings === 0) {
    out.push({ xyMm: fromMm, bulge: 0 });
    return;
  }
  const [left, right] = split(fromMm, part);
  halve(fromMm, left, errorMm, halvings - 1, out);
  halve(left.toMm, right, errorMm, halvings - 1, out);
}

function biarc(fromMm: XyMm, part: CubicPart): [BulgeVertex, BulgeVertex] | null {
  const { toMm } = part;
  const t0 = directionOfPart(fromMm, part, 'start');
  const t1 = directionOfPart(fromMm, part, 'end');
  const [vx, vy] = [toMm[0] - fromMm[0], toMm[1] - fromMm[1]];
  const vt = vx * (t0[0] + t1[0]) + vy * (t0[1] + t1[1]);
  const vv = vx * vx + vy * vy;
  const k = 2 * (1 - t0[0] * t1[0] - t0[1] * t1[1]);
  const d = k < 1e-9 ? vv / (2 * vt) : (-vt + Math.sqrt(vt * vt + k * vv)) / k;
  if (!(d > 0 && Number.isFinite(d))) return null;
  const joint: XyMm = [
    (fromMm[0] + d * t0[0] + toMm[0] - d * t1[0]) / 2,
    (fromMm[1] + d * t0[1] + toMm[1] - d * t1[1]) / 2,
  ];
  return [
    { xyMm: fromMm, bulge: bulgeOf(t0, fromMm, joint) },
    // Seen from its end the second arc leaves with the direction turned back and turns the other way.
    { xyMm: joint, bulge: -bulgeOf([0 - t1[0], 0 - t1[1]], toMm, joint) },
  ];
}

/** The chord of an arc lies half its angle off the direction in which it begins. */
function bulgeOf(direction: XyMm, a: XyMm, b: XyMm): number {
  const [x, y] = [b[0] - a[0], b[1] - a[1]];
  const half = Math.atan2(direction[0] * y - direction[1] * x, direction[0] * x + direction[1] * y);
  return Math.tan(half / 2);
}

function isNear(
  fromMm: XyMm,
  part: CubicPart,
  [first, second]: readonly [BulgeVertex, BulgeVertex],
  errorMm: number,
): boolean {
  const arcs = [
    [first.xyMm, second.xyMm, first.bulge],
    [second.xyMm, part.toMm, second.bulge],
  ] as const;
  for (let i = 1; i <= SAMPLES; i++) {
    const p = pointOfPart(fromMm, part, i / (SAMPLES + 1));
    if (Math.min(...arcs.map(([a, b, bulge]) => offArc(p, a, b, bulge))) > errorMm) return false;
  }
  return true;
}

function offArc([x, y]: XyMm, a: XyMm, b: XyMm, bulge: number): number {
  const chord = distanceMm(a, b);
  const [ux, uy] = [(b[0] - a[0]) / chord, (b[1] - a[1]) / chord];
  const across = (x - a[0]) * -uy + (y - a[1]) * ux;
  if (Math.abs(bulge) < 1e-6) return Math.abs(across);
  // The centre lies across the chord from its middle: c/4 · (1/b - b) to the side of +y × chord.
  const k = (chord / 4) * (1 / bulge - bulge);
  const along = (x - a[0]) * ux + (y - a[1]) * uy - chord / 2;
  return Math.abs(Math.hypot(along, across - k) - Math.hypot(chord / 2, k));
}

/** De Casteljau at the middle. */
function split(fromMm: XyMm, { c1Mm, c2Mm, toMm }: CubicPart): [CubicPart, CubicPart] {
  const mid = (a: XyMm, b: XyMm): XyMm => [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2];
  const a = mid(fromMm, c1Mm);
  const b = mid(c1Mm, c2Mm);
  const c = mid(c2Mm, toMm);
  const ab = mid(a, b);
  const bc = mid(b, c);
  const at = mid(ab, bc);
  return [
    { kind: 'cubic', c1Mm: a, c2Mm: ab, toMm: at },
    { kind: 'cubic', c1Mm: bc, c2Mm: c, toMm },
  ];
}
