/**
 * Boolean operations on rings, over the clipper2-ts package.
 *
 * Coordinates go through integers of a ten-thousandth of a millimetre. Answers are rings with a
 * positive outside and negative holes.
 */
import {
  Clipper,
  ClipperD,
  ClipType,
  EndType,
  FillRule,
  JoinType,
  type PathD,
  type PathsD,
} from 'clipper2-ts';
import type { XyMm } from './net.js';
import { ringAreaMm2 } from './ring.js';

const DECIMALS = 4;

type Rings = readonly (readonly XyMm[])[];

/** Where the winding number of the rings, taken together, is 1 or more. */
export function positiveUnion(rings: Rings): XyMm[][] {
  return run(ClipType.Union, FillRule.Positive, rings, []);
}

/** Union of rings, each taken as filled whatever its orientation (non-zero rule). */
export function unionRings(rings: Rings): XyMm[][] {
  return run(ClipType.Union, FillRule.NonZero, rings, []);
}

/** What lies in both; each side's rings are united first (non-zero rule). */
export function intersectRings(a: Rings, b: Rings): XyMm[][] {
  return run(ClipType.Intersection, FillRule.NonZero, a, b);
}

/** What lies in `a` and not in `b`. */
export function subtractRings(a: Rings, b: Rings): XyMm[][] {
  return run(ClipType.Difference, FillRule.NonZero, a, b);
}

/** The stretches of an open line that lie inside rings, in no order; a line on an edge may fall either way. */
export function lineInside(line: readonly XyMm[], rings: Rings): XyMm[][] {
  const clipper = new ClipperD(DECIMALS);
  clipper.addOpenSubjectPaths([toPath(line)]);
  clipper.addClipPaths(rings.map(toPath));
  const open: PathsD = [];
  clipper.execute(ClipType.Intersection, FillRule.NonZero, [], open);
  return open.map(toRing);
}

/** Chords of a brush's round ends are no farther from the circle than this. */
const ROUND_ERROR_MM = 0.02;

/** What a round brush covers along a line; one point gives a disc. */
export function brushedRings(line: readonly XyMm[], widthMm: number): XyMm[][] {
  const [first] = line;
  if (first === undefined) return [];
  // A path without length has no direction to be widened from.
  const path = line.length === 1 ? [first, [first[0] + 1e-3, first[1]] as const] : line;
  return Clipper.inflatePathsD(
    [toPath(path)],
    widthMm / 2,
    JoinType.Round,
    EndType.Round,
    2,
    DECIMALS,
    ROUND_ERROR_MM,
  ).map(toRing);
}

/** Area of rings with positive outsides and negative holes, as the functions here return them. */
export function ringsAreaMm2(rings: Rings): number {
  return rings.reduce((sum, ring) => sum + ringAreaMm2(ring), 0);
}

function run(type: ClipType, rule: FillRule, subject: Rings, clip: Rings): XyMm[][] {
  const clipper = new ClipperD(DECIMALS);
  clipper.addSubjectPaths(subject.map(toPath));
  if (clip.length > 0) clipper.addClipPaths(clip.map(toPath));
  const out: PathsD = [];
  clipper.execute(type, rule, out);
  return out.map(toRing);
}

function toRing(path: PathD): XyMm[] {
  return path.map(({ x, y }): XyMm => [x, y]);
}

function toPath(ring: readonly XyMm[]): PathD {
  return ring.map(([x, y]) => ({ x, y }));
}
