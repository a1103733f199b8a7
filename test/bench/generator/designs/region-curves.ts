/** Helpers shared by the designs: rings, curves cut to a region, the little errors of a hand. */
import { distance, insetRing, isInside, type Point, type Polyline, resample } from '../polyline.js';
import type { RandomStream } from '../random-stream.js';
import { SmoothNoise } from '../smooth-noise.js';

const { ceil, floor, max, min } = Math;

export const closed = (ring: Polyline): Point[] => [...ring, ring[0]!];

export function rectangle(x0: number, y0: number, x1: number, y1: number): Point[] {
  return [
    [x0, y0],
    [x1, y0],
    [x1, y1],
    [x0, y1],
  ];
}

/** The parts of a line inside a ring, each a little too long so that it surely meets the ring. */
export function insideRegion(line: Polyline, ring: Polyline, overMm = 1.2): Point[][] {
  const dense = resample(line, 0.5);
  const over = ceil(overMm / 0.5);
  const parts: Point[][] = [];
  let start = -1;
  for (let i = 0; i <= dense.length; i++) {
    const inside = i < dense.length && isInside(dense[i]!, ring);
    if (inside && start < 0) start = i;
    if (!inside && start >= 0) {
      const part = dense.slice(max(0, start - over), min(dense.length, i + over));
      if (part.length > 8) parts.push(resample(part, 4));
      start = -1;
    }
  }
  return parts;
}

/** A line as a hand leads it: smooth errors of about amplitudeMm across, resampled every 4 mm. */
export function byHand(random: RandomStream, line: Polyline, amplitudeMm: number): Point[] {
  const dx = new SmoothNoise(random, 38);
  const dy = new SmoothNoise(random, 38);
  const key = random.between(0, 1000);
  return resample(line, 4).map(
    (p): Point => [
      p[0] + amplitudeMm * dx.at(p[0] + key, p[1]),
      p[1] + amplitudeMm * dy.at(p[0], p[1] + key),
    ],
  );
}

/** Point of a ring at a share (0..1) of its length. */
export function ringPoint(ring: Polyline, share: number): Point {
  const dense = resample(closed(ring), 1);
  return dense[floor((((share % 1) + 1) % 1) * (dense.length - 1))]!;
}

/** The point of a ring nearest to p. */
export function nearestOnRing(ring: Polyline, p: Point): Point {
  return resample(closed(ring), 0.5).reduce((a, b) => (distance(a, p) < distance(b, p) ? a : b));
}

/** A straight piece from a to b, longer by overMm at both ends. */
export function spanning(a: Point, b: Point, overMm = 1.2): Point[] {
  const d = distance(a, b);
  const ux = ((b[0] - a[0]) / d) * overMm;
  const uy = ((b[1] - a[1]) / d) * overMm;
  return resample(
    [
      [a[0] - ux, a[1] - uy],
      [b[0] + ux, b[1] + uy],
    ],
    4,
  );
}

export const inwards = (ring: Polyline, mm: number): Point[] =>
  insetRing(resample(closed(ring), 3).slice(0, -1), mm);
