/** A SPLINE of a DXF as chords: a rational B-spline evaluated by de Boor's recurrence. */
import type { XyMm } from '../net.js';
import { CartoonError } from './cartoon.js';
import { type DxfEntity, first } from './dxf-tags.js';
import { CHORD_TURN_RAD } from './raw-line.js';

export interface ChordLine {
  readonly points: readonly XyMm[];
  readonly isClosed: boolean;
}

const DEGREE_MAX = 12;
const HALVINGS_MAX = 12;

/** @throws {CartoonError} `not-well-formed` for a spline whose knots and points do not agree */
export function splineChords({ tags }: DxfEntity, tolerance: number): ChordLine {
  const all = (code: number) =>
    tags.filter((tag) => tag[0] === code).map(([, value]) => Number(value));
  const flags = Number(first(tags, 70) ?? 0);
  const isClosed = (flags & 1) === 1;
  const degree = Number(first(tags, 71) ?? 3);
  const knots = all(40);
  const xs = all(10);
  const ys = all(20);
  const weights = all(41);
  if (xs.length === 0) {
    // only points that it should pass through: chords between them, a person draws finer
    const points = all(11).map((x, i): XyMm => [x, all(21)[i]!]);
    return { points, isClosed };
  }
  const isUsable =
    Number.isInteger(degree) &&
    degree >= 1 &&
    degree <= DEGREE_MAX &&
    xs.length === ys.length &&
    xs.length > degree &&
    knots.length === xs.length + degree + 1 &&
    [...knots, ...xs, ...ys, ...weights].every(Number.isFinite) &&
    knots.every((knot, i) => i === 0 || knot >= knots[i - 1]!);
  if (!isUsable) {
    throw new CartoonError(
      'not-well-formed',
      `A SPLINE of the DXF has ${xs.length} points and ${knots.length} knots for degree ${degree}, which do not belong together. Turn it into a polyline and save again.`,
    );
  }
  const curve = (t: number) => deBoor(t, degree, knots, xs, ys, weights);
  const spans = [...new Set(knots.slice(degree, knots.length - degree))];
  const points: XyMm[] = [curve(spans[0]!)];
  for (let i = 1; i < spans.length; i++) {
    halve(curve, spans[i - 1]!, spans[i]!, tolerance, HALVINGS_MAX, points);
  }
  return { points, isClosed };
}

function halve(
  curve: (t: number) => XyMm,
  from: number,
  to: number,
  tolerance: number,
  left: number,
  out: XyMm[],
): void {
  const [a, b] = [curve(from), curve(to)];
  const inside = [0.25, 0.5, 0.75].map((t) => curve(from + t * (to - from)));
  const chord = Math.hypot(b[0] - a[0], b[1] - a[1]);
  const isFlat = inside.every((p, i) => {
    const off =
      chord === 0
        ? Math.hypot(p[0] - a[0], p[1] - a[1])
        : Math.abs((b[0] - a[0]) * (p[1] - a[1]) - (b[1] - a[1]) * (p[0] - a[0])) / chord;
    return (
      off <= tolerance &&
      turn(i === 0 ? a : inside[i - 1]!, p, inside[i + 1] ?? b) <= CHORD_TURN_RAD
    );
  });
  if (isFlat || left === 0) {
    out.push(b);
    return;
  }
  const middle = (from + to) / 2;
  halve(curve, from, middle, tolerance, left - 1, out);
  halve(curve, middle, to, tolerance, left - 1, out);
}

/** Source: de Boor's algorithm in homogeneous places (Piegl and Tiller, The NURBS Book, A4.1; from memory). */
function deBoor(
  t: number,
  degree: number,
  knots: readonly number[],
  xs: readonly number[],
  ys: readonly number[],
  weights: readonly number[],
): XyMm {
  const last = xs.length - 1;
  let span = degree;
  while (span < last && t >= knots[span + 1]!) span++;
  const d = Array.from({ length: degree + 1 }, (_, j): [number, number, number] => {
    const i = span - degree + j;
    const w = weights[i] ?? 1;
    return [xs[i]! * w, ys[i]! * w, w];
  });
  for (let r = 1; r <= degree; r++) {
    for (let j = degree; j >= r; j--) {
      const i = span - degree + j;
      const width = knots[i + degree - r + 1]! - knots[i]!;
      const alpha = width === 0 ? 0 : (t - knots[i]!) / width;
      for (const k of [0, 1, 2] as const) {
        d[j]![k] = (1 - alpha) * d[j - 1]![k] + alpha * d[j]![k];
      }
    }
  }
  const [x, y, w] = d[degree]!;
  return [x / w, y / w];
}

function turn(a: XyMm, b: XyMm, c: XyMm): number {
  const difference = Math.abs(
    Math.atan2(b[1] - a[1], b[0] - a[0]) - Math.atan2(c[1] - b[1], c[0] - b[0]),
  );
  return Math.min(difference, 2 * Math.PI - difference);
}
