/** Small functions on polylines: lists of [x, y] in mm. */

const { abs, cos, hypot, max, min, round, sign, sin } = Math;

export type Point = readonly [number, number];
export type Polyline = readonly Point[];

export const distance = (a: Point, b: Point): number => hypot(a[0] - b[0], a[1] - b[1]);

export function lengthMm(line: Polyline): number {
  let sum = 0;
  for (let i = 1; i < line.length; i++) sum += distance(line[i - 1]!, line[i]!);
  return sum;
}

/** Points at equal arc distances near stepMm, both ends kept. */
export function resample(line: Polyline, stepMm: number): Point[] {
  const total = lengthMm(line);
  if (total < 1e-9) return line.slice(0, 1);
  const n = max(1, round(total / stepMm));
  const out: Point[] = [];
  let i = 1;
  let before = 0;
  for (let k = 0; k <= n; k++) {
    const s = (total * k) / n;
    while (i < line.length - 1 && before + distance(line[i - 1]!, line[i]!) < s) {
      before += distance(line[i - 1]!, line[i]!);
      i++;
    }
    const a = line[i - 1]!;
    const b = line[i]!;
    const d = distance(a, b);
    const t = d > 0 ? min(1, max(0, (s - before) / d)) : 0;
    out.push([a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])]);
  }
  return out;
}

/** Shoelace area; positive when the ring turns from +x towards +y. The ring may be open or closed. */
export function ringArea(ring: Polyline): number {
  let twice = 0;
  for (let i = 0; i < ring.length; i++) {
    const a = ring[i]!;
    const b = ring[(i + 1) % ring.length]!;
    twice += a[0] * b[1] - b[0] * a[1];
  }
  return twice / 2;
}

/** Even-odd rule. */
export function isInside(point: Point, ring: Polyline): boolean {
  let inside = false;
  for (let i = 0, j = ring.length - 1; i < ring.length; j = i++) {
    const a = ring[i]!;
    const b = ring[j]!;
    if (a[1] > point[1] !== b[1] > point[1]) {
      if (point[0] < ((b[0] - a[0]) * (point[1] - a[1])) / (b[1] - a[1]) + a[0]) inside = !inside;
    }
  }
  return inside;
}

export function distanceToSegment(p: Point, a: Point, b: Point): number {
  const ux = b[0] - a[0];
  const uy = b[1] - a[1];
  const uu = ux * ux + uy * uy;
  const t = uu > 0 ? min(1, max(0, ((p[0] - a[0]) * ux + (p[1] - a[1]) * uy) / uu)) : 0;
  return hypot(p[0] - a[0] - t * ux, p[1] - a[1] - t * uy);
}

export function distanceToLine(p: Point, line: Polyline): number {
  let best = Infinity;
  for (let i = 1; i < line.length; i++)
    best = min(best, distanceToSegment(p, line[i - 1]!, line[i]!));
  return best;
}

/** Circle or arc, angles in radians, y down. */
export function arc(
  centre: Point,
  radius: number,
  fromRad: number,
  toRad: number,
  stepMm = 4,
): Point[] {
  const n = max(2, round((abs(toRad - fromRad) * radius) / stepMm));
  return Array.from({ length: n + 1 }, (_, i): Point => {
    const t = fromRad + ((toRad - fromRad) * i) / n;
    return [centre[0] + radius * cos(t), centre[1] + radius * sin(t)];
  });
}

/** Ring moved inwards by insetMm with mitred corners; vertices that turn over are left out. */
export function insetRing(ring: Polyline, insetMm: number): Point[] {
  const turn = sign(ringArea(ring));
  const clean = ring.filter((p, i) => distance(p, ring[(i + 1) % ring.length]!) > 1e-6);
  const n = clean.length;
  const out: Point[] = [];
  for (let i = 0; i < n; i++) {
    const a = clean[(i + n - 1) % n]!;
    const b = clean[i]!;
    const c = clean[(i + 1) % n]!;
    const d1 = distance(a, b);
    const d2 = distance(b, c);
    const n1: Point = [(-turn * (b[1] - a[1])) / d1, (turn * (b[0] - a[0])) / d1];
    const n2: Point = [(-turn * (c[1] - b[1])) / d2, (turn * (c[0] - b[0])) / d2];
    const k = 1 + n1[0] * n2[0] + n1[1] * n2[1];
    // Very sharp corners are bevelled at six times the inset.
    const m = insetMm / max(k, 0.06);
    out.push([b[0] + m * (n1[0] + n2[0]), b[1] + m * (n1[1] + n2[1])]);
  }
  // A vertex nearer to the ring than the inset lies in a fold-over of a narrow place.
  const closed = [...clean, clean[0]!];
  return out.filter((p) => isInside(p, clean) && distanceToLine(p, closed) > insetMm * 0.97);
}
