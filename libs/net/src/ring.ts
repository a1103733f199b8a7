/**
 * Plane geometry of rings and polylines given as `[x, y]` pairs in millimetres.
 *
 * A ring's closing edge is implied (the first vertex is not repeated). Axes as stored: x right,
 * y down; a ring is positive when its shoelace sum is, which looks clockwise on the drawing.
 */
import type { XyMm } from './net.js';

export interface BoundsMm {
  readonly minX: number;
  readonly minY: number;
  readonly maxX: number;
  readonly maxY: number;
}

/**
 * Signed area by the shoelace sum about the first vertex, so that a small ring far from the origin
 * keeps its digits. Self-crossing rings are not detected.
 *
 * Source: O'Rourke, Computational Geometry in C, 2nd ed., section 1.4 (from memory).
 */
export function ringAreaMm2(ring: readonly XyMm[]): number {
  if (ring.length < 3) return 0;
  const [x0, y0] = ring[0]!;
  let twice = 0;
  let ax = 0;
  let ay = 0;
  for (let i = 1; i < ring.length; i++) {
    const bx = ring[i]![0] - x0;
    const by = ring[i]![1] - y0;
    twice += ax * by - bx * ay;
    ax = bx;
    ay = by;
  }
  return twice / 2;
}

/** Length of an open polyline. */
export function polylineLengthMm(line: readonly XyMm[]): number {
  let sum = 0;
  for (let i = 1; i < line.length; i++) sum += distanceMm(line[i - 1]!, line[i]!);
  return sum;
}

/** Length round a ring, closing edge included. */
export function ringLengthMm(ring: readonly XyMm[]): number {
  if (ring.length < 2) return 0;
  return polylineLengthMm(ring) + distanceMm(ring[ring.length - 1]!, ring[0]!);
}

export function distanceMm(a: XyMm, b: XyMm): number {
  return Math.hypot(b[0] - a[0], b[1] - a[1]);
}

/** Flat x0, y0, x1, y1, … as points; a last number by itself is left out. */
export function pointsOfFlat(flat: ArrayLike<number>): XyMm[] {
  return Array.from({ length: flat.length >> 1 }, (_, i) => [flat[2 * i]!, flat[2 * i + 1]!]);
}

/** Box of all points; throws a plain error on an empty list (a bug of the caller). */
export function boundsMm(points: readonly XyMm[]): BoundsMm {
  if (points.length === 0) throw new Error('bounds of no points');
  let minX = Infinity;
  let minY = Infinity;
  let maxX = -Infinity;
  let maxY = -Infinity;
  for (const [x, y] of points) {
    if (x < minX) minX = x;
    if (x > maxX) maxX = x;
    if (y < minY) minY = y;
    if (y > maxY) maxY = y;
  }
  return { minX, minY, maxX, maxY };
}

/** Even-odd test; a point exactly on the ring may fall either way. */
export function isInsideRing([px, py]: XyMm, ring: readonly XyMm[]): boolean {
  let inside = false;
  for (let i = 0, j = ring.length - 1; i < ring.length; j = i++) {
    const [xi, yi] = ring[i]!;
    const [xj, yj] = ring[j]!;
    if (yi > py !== yj > py && px < ((xj - xi) * (py - yi)) / (yj - yi) + xi) inside = !inside;
  }
  return inside;
}

/** Centroid of the area inside a simple ring. */
export function ringCentroidMm(ring: readonly XyMm[]): XyMm {
  const [x0, y0] = ring[0] ?? [0, 0];
  let twice = 0;
  let sx = 0;
  let sy = 0;
  for (let i = 0; i < ring.length; i++) {
    const [px, py] = ring[i]!;
    const [qx, qy] = ring[(i + 1) % ring.length]!;
    const cross = (px - x0) * (qy - y0) - (qx - x0) * (py - y0);
    twice += cross;
    sx += (px + qx - 2 * x0) * cross;
    sy += (py + qy - 2 * y0) * cross;
  }
  return twice === 0 ? [x0, y0] : [x0 + sx / (3 * twice), y0 + sy / (3 * twice)];
}

/** Distance from a point to the segment a-b. */
export function distanceToSegmentMm([px, py]: XyMm, a: XyMm, b: XyMm): number {
  const ux = b[0] - a[0];
  const uy = b[1] - a[1];
  const length2 = ux * ux + uy * uy;
  const t =
    length2 === 0 ? 0 : Math.min(1, Math.max(0, ((px - a[0]) * ux + (py - a[1]) * uy) / length2));
  return Math.hypot(px - a[0] - t * ux, py - a[1] - t * uy);
}

/** The place `alongMm` from the line's start, measured along it; clamped to the ends. */
export function pointAlongMm(line: readonly XyMm[], alongMm: number): XyMm {
  let left = alongMm;
  for (let i = 1; i < line.length; i++) {
    const a = line[i - 1]!;
    const b = line[i]!;
    const step = distanceMm(a, b);
    if (left <= step && step > 0) {
      const t = Math.max(0, left) / step;
      return [a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])];
    }
    left -= step;
  }
  return line[line.length - 1]!;
}

/** Points every `stepMm` or less along a line, both ends included. */
export function resampleMm(line: readonly XyMm[], stepMm: number): XyMm[] {
  const length = polylineLengthMm(line);
  const parts = Math.max(1, Math.ceil(length / stepMm));
  const out: XyMm[] = [];
  for (let i = 0; i <= parts; i++) out.push(pointAlongMm(line, (length * i) / parts));
  return out;
}

/** Rounds to a thousandth of a millimetre, the digit that stored geometry keeps; never gives -0. */
export function toMicron(value: number): number {
  return Math.round(value * 1000) / 1000 + 0;
}

export function roundXy([x, y]: XyMm): XyMm {
  return [toMicron(x), toMicron(y)];
}
