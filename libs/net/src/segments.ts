/** Exact tests on segments and directions, by robust predicates: no tolerance, no wrong answer. */
import { orient2d } from 'robust-predicates';
import type { XyMm } from './net.js';

/** Sign of (b - a) × (c - a) in stored axes: positive when a, b, c turn the positive way. */
export function turnSign(a: XyMm, b: XyMm, c: XyMm): number {
  // The package's y axis points down, so its sign is the opposite of the cross product's.
  return Math.sign(-orient2d(a[0], a[1], b[0], b[1], c[0], c[1]));
}

/** Do the closed segments a-b and c-d have a point in common? */
export function segmentsMeet(a: XyMm, b: XyMm, c: XyMm, d: XyMm): boolean {
  const abc = turnSign(a, b, c);
  const abd = turnSign(a, b, d);
  const cda = turnSign(c, d, a);
  const cdb = turnSign(c, d, b);
  if (abc * abd < 0 && cda * cdb < 0) return true;
  return (
    (abc === 0 && isInBox(c, a, b)) ||
    (abd === 0 && isInBox(d, a, b)) ||
    (cda === 0 && isInBox(a, c, d)) ||
    (cdb === 0 && isInBox(b, c, d))
  );
}

/** Do two segments that start at the same place leave it in the same direction? */
export function leaveTogether(start: XyMm, a: XyMm, b: XyMm): boolean {
  if (turnSign(start, a, b) !== 0) return false;
  const dot = (a[0] - start[0]) * (b[0] - start[0]) + (a[1] - start[1]) * (b[1] - start[1]);
  return dot > 0;
}

/** Order of two directions round a place: by angle from +x towards +y as stored. */
export function compareAround(start: XyMm, a: XyMm, b: XyMm): number {
  const halfA = half(start, a);
  const halfB = half(start, b);
  return halfA !== halfB ? halfA - halfB : -turnSign(start, a, b);
}

function half(start: XyMm, p: XyMm): 0 | 1 {
  const dx = p[0] - start[0];
  const dy = p[1] - start[1];
  return dy < 0 || (dy === 0 && dx < 0) ? 1 : 0;
}

function isInBox(p: XyMm, a: XyMm, b: XyMm): boolean {
  return (
    Math.min(a[0], b[0]) <= p[0] &&
    p[0] <= Math.max(a[0], b[0]) &&
    Math.min(a[1], b[1]) <= p[1] &&
    p[1] <= Math.max(a[1], b[1])
  );
}
