/** Curves made of lines, arcs and cubic Béziers: points, directions, length, turning over. */
import type { CurvePart, XyMm } from '../net.js';
import { distanceMm, roundXy } from '../ring.js';

/** A curve with its first point; `parts` as stored on a lead. */
export interface Curve {
  readonly fromMm: XyMm;
  readonly parts: readonly CurvePart[];
}

/** Angle that an arc turns through, signed: positive when clockwise on the drawing (y down). */
export function arcSweep(fromMm: XyMm, { toMm, centreMm, clockwise }: ArcPart): number {
  const start = Math.atan2(fromMm[1] - centreMm[1], fromMm[0] - centreMm[0]);
  const end = Math.atan2(toMm[1] - centreMm[1], toMm[0] - centreMm[0]);
  const sweep = end - start;
  if (clockwise) return sweep > 0 ? sweep : sweep + 2 * Math.PI;
  return sweep < 0 ? sweep : sweep - 2 * Math.PI;
}

export type ArcPart = Extract<CurvePart, { kind: 'arc' }>;
export type CubicPart = Extract<CurvePart, { kind: 'cubic' }>;

/** Mean distance of an arc's two ends from its centre: rounding leaves them a micrometre apart. */
export function arcRadiusMm(fromMm: XyMm, { toMm, centreMm }: ArcPart): number {
  return (distanceMm(fromMm, centreMm) + distanceMm(toMm, centreMm)) / 2;
}

/** The place at `t` from 0 to 1 of one part. */
export function pointOfPart(fromMm: XyMm, part: CurvePart, t: number): XyMm {
  if (t >= 1) return part.toMm;
  if (part.kind === 'line') {
    const [x, y] = fromMm;
    return [x + t * (part.toMm[0] - x), y + t * (part.toMm[1] - y)];
  }
  if (part.kind === 'arc') {
    const [cx, cy] = part.centreMm;
    const angle = Math.atan2(fromMm[1] - cy, fromMm[0] - cx) + t * arcSweep(fromMm, part);
    const radius = arcRadiusMm(fromMm, part);
    return [cx + radius * Math.cos(angle), cy + radius * Math.sin(angle)];
  }
  const s = 1 - t;
  const { c1Mm, c2Mm, toMm } = part;
  const [a, b, c, d] = [s * s * s, 3 * s * s * t, 3 * s * t * t, t * t * t];
  return [
    a * fromMm[0] + b * c1Mm[0] + c * c2Mm[0] + d * toMm[0],
    a * fromMm[1] + b * c1Mm[1] + c * c2Mm[1] + d * toMm[1],
  ];
}

/** Unit direction of travel at a part's start or end; [0, 0] of a part without length. */
export function directionOfPart(fromMm: XyMm, part: CurvePart, end: 'start' | 'end'): XyMm {
  const { toMm } = part;
  if (part.kind === 'arc') {
    const [px, py] = end === 'start' ? fromMm : toMm;
    const [ux, uy] = [px - part.centreMm[0], py - part.centreMm[1]];
    return unit(part.clockwise ? [-uy, ux] : [uy, -ux]);
  }
  if (part.kind === 'line') return unit([toMm[0] - fromMm[0], toMm[1] - fromMm[1]]);
  const row = [fromMm, part.c1Mm, part.c2Mm, toMm];
  if (end === 'end') row.reverse();
  const [first, ...rest] = row;
  const next = rest.find((point) => distanceMm(point, first!) > 1e-6) ?? first!;
  const out = unit([next[0] - first![0], next[1] - first![1]]);
  return end === 'start' ? out : [0 - out[0], 0 - out[1]];
}

export function unit([x, y]: XyMm): XyMm {
  const length = Math.hypot(x, y);
  return length === 0 ? [0, 0] : [x / length, y / length];
}

/** Points along a curve whose chords leave it by no more than `errorMm`; both ends included. */
export function curvePoints({ fromMm, parts }: Curve, errorMm: number): XyMm[] {
  const out: XyMm[] = [fromMm];
  let from = fromMm;
  for (const part of parts) {
    const steps = chords(from, part, errorMm);
    for (let i = 1; i <= steps; i++) out.push(pointOfPart(from, part, i / steps));
    from = part.toMm;
  }
  return out;
}

function chords(fromMm: XyMm, part: CurvePart, errorMm: number): number {
  if (part.kind === 'line') return 1;
  if (part.kind === 'arc') {
    const step = 2 * Math.acos(Math.max(0, 1 - errorMm / arcRadiusMm(fromMm, part)));
    return Math.max(1, Math.ceil(Math.abs(arcSweep(fromMm, part)) / step));
  }
  // A chord over 1/n of a cubic leaves it by at most the largest second derivative / 8n²
  // (Filip, Magedson and Markot 1986, from memory).
  const { c1Mm, c2Mm, toMm } = part;
  const bend = (a: XyMm, b: XyMm, c: XyMm) =>
    6 * Math.hypot(a[0] - 2 * b[0] + c[0], a[1] - 2 * b[1] + c[1]);
  const most = Math.max(bend(fromMm, c1Mm, c2Mm), bend(c1Mm, c2Mm, toMm));
  return Math.max(1, Math.ceil(Math.sqrt(most / (8 * errorMm))));
}

/** Length along a curve, to about a thousandth of a millimetre. */
export function curveLengthMm(curve: Curve): number {
  let sum = 0;
  let from = curve.fromMm;
  for (const part of curve.parts) {
    if (part.kind === 'line') sum += distanceMm(from, part.toMm);
    else if (part.kind === 'arc') {
      sum += arcRadiusMm(from, part) * Math.abs(arcSweep(from, part));
    } else {
      const points = curvePoints({ fromMm: from, parts: [part] }, 1e-4);
      for (let i = 1; i < points.length; i++) sum += distanceMm(points[i - 1]!, points[i]!);
    }
    from = part.toMm;
  }
  return sum;
}

/** The same curve travelled the other way. */
export function reverseCurve({ fromMm, parts }: Curve): Curve {
  const starts = [fromMm, ...parts.map((part) => part.toMm)];
  return {
    fromMm: starts[parts.length]!,
    parts: parts
      .map((part, i): CurvePart => {
        const toMm = starts[i]!;
        if (part.kind === 'line') return { kind: 'line', toMm };
        if (part.kind === 'arc') return { ...part, toMm, clockwise: !part.clockwise };
        return { kind: 'cubic', c1Mm: part.c2Mm, c2Mm: part.c1Mm, toMm };
      })
      .reverse(),
  };
}

/**
 * Every point of a curve through `place`, which must keep lengths (a shift, a turn, a mirror image).
 *
 * @param isMirror whether it swaps left and right: arcs then turn the other way
 */
export function placeCurve(
  { fromMm, parts }: Curve,
  place: (xyMm: XyMm) => XyMm,
  isMirror: boolean,
): Curve {
  return {
    fromMm: place(fromMm),
    parts: parts.map((part): CurvePart => {
      const toMm = place(part.toMm);
      if (part.kind === 'line') return { kind: 'line', toMm };
      if (part.kind === 'arc') {
        const centreMm = place(part.centreMm);
        return { kind: 'arc', toMm, centreMm, clockwise: part.clockwise !== isMirror };
      }
      return { kind: 'cubic', c1Mm: place(part.c1Mm), c2Mm: place(part.c2Mm), toMm };
    }),
  };
}

/** To a thousandth of a millimetre, as stored. */
export function roundPart(part: CurvePart): CurvePart {
  const toMm = roundXy(part.toMm);
  if (part.kind === 'line') return { kind: 'line', toMm };
  if (part.kind === 'arc') {
    return { kind: 'arc', toMm, centreMm: roundXy(part.centreMm), clockwise: part.clockwise };
  }
  return { kind: 'cubic', c1Mm: roundXy(part.c1Mm), c2Mm: roundXy(part.c2Mm), toMm };
}
