/** Irregular pieces: a region is split again and again by bowed leads, the largest piece first. */
import {
  distance,
  distanceToLine,
  isInside,
  type Point,
  type Polyline,
  resample,
  ringArea,
} from '../polyline.js';
import type { RandomStream } from '../random-stream.js';

const { abs, floor, max, min, round } = Math;

export interface SplitOptions {
  pieces: number;
  /** Bow of a lead as a share of its length. */
  bow: number;
  /** Room between a new lead and the piece's border away from its ends, mm. */
  clearanceMm: number;
}

/** @returns leads between points of the rings, in the order they were drawn. */
export function splitRegion(
  random: RandomStream,
  region: Polyline,
  options: SplitOptions,
): Point[][] {
  const rings: Point[][] = [resample([...region, region[0]!], 2).slice(0, -1)];
  const leads: Point[][] = [];
  const stuck = new Set<Point[]>();
  while (rings.length < options.pieces) {
    const open = rings
      .filter((r) => !stuck.has(r))
      .sort((a, b) => abs(ringArea(b)) - abs(ringArea(a)));
    // Now and then a piece of any size, so that small ones occur.
    const ring = open[random.chance(0.75) ? 0 : random.whole(0, open.length - 1)];
    if (!ring) break;
    const chord = findChord(random, ring, options);
    if (!chord) {
      stuck.add(ring);
      continue;
    }
    const { i, j, line } = chord;
    leads.push(line);
    rings.splice(rings.indexOf(ring), 1);
    const inner = line.slice(1, -1);
    rings.push([...ring.slice(0, i + 1), ...inner, ...ring.slice(j)]);
    rings.push([...ring.slice(i, j + 1), ...[...inner].reverse()]);
  }
  return leads;
}

function findChord(random: RandomStream, ring: Point[], options: SplitOptions) {
  const n = ring.length;
  let best: { i: number; j: number; line: Point[]; cost: number } | undefined;
  for (let attempt = 0; attempt < 60; attempt++) {
    const a = random.whole(0, n - 1);
    const b = (a + floor(n * random.between(0.3, 0.7))) % n;
    const [i, j] = a < b ? [a, b] : [b, a];
    const p = ring[i]!;
    const q = ring[j]!;
    const span = distance(p, q);
    if (span < 14) continue;
    const bow = span * options.bow * random.between(-1, 1);
    const skew = random.between(0.35, 0.65);
    const line = bowed(p, q, bow, skew);
    const border = [...ring, ring[0]!];
    const clear = line.every((x) => {
      const fromEnd = min(distance(x, p), distance(x, q));
      if (fromEnd < 1) return true;
      return (
        isInside(x, ring) && distanceToLine(x, border) > min(options.clearanceMm, fromEnd * 0.55)
      );
    });
    if (!clear) continue;
    const shareA = (j - i) / n;
    const cost = span * (1 + 2 * abs(shareA - 0.5)) + random.between(0, 25);
    if (!best || cost < best.cost) best = { i, j, line, cost };
  }
  return best;
}

/** A quadratic curve from p to q that stands bowMm off the chord. */
export function bowed(p: Point, q: Point, bowMm: number, skew = 0.5): Point[] {
  const d = distance(p, q);
  const nx = (-(q[1] - p[1]) / d) * bowMm * 2;
  const ny = ((q[0] - p[0]) / d) * bowMm * 2;
  const m: Point = [p[0] + skew * (q[0] - p[0]) + nx, p[1] + skew * (q[1] - p[1]) + ny];
  const steps = max(4, round(d / 3));
  return Array.from({ length: steps + 1 }, (_, k): Point => {
    const t = k / steps;
    const s = 1 - t;
    return [
      s * s * p[0] + 2 * s * t * m[0] + t * t * q[0],
      s * s * p[1] + 2 * s * t * m[1] + t * t * q[1],
    ];
  });
}
