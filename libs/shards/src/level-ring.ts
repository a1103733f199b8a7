import type { Plane } from '#libs/raster';

/**
 * The longest closed line at `level` in a plane (marching squares, linear along cell edges), in pixels, flat x, y, x, y …
 * with what is darker than the level on its left (positive area). Values beyond the picture count as bright.
 */
export function levelRing(plane: Plane, level: number): Float64Array {
  const { width: w, height: h, data } = plane;
  // edge 2i runs from pixel i to its right neighbour, 2i + 1 to the one below
  const next = new Int32Array(2 * w * h).fill(-1);
  for (let y = 0; y + 1 < h; y++) {
    for (let x = 0; x + 1 < w; x++) {
      const i = y * w + x;
      const a = data[i]! < level;
      const b = data[i + 1]! < level;
      const c = data[i + w + 1]! < level;
      const d = data[i + w]! < level;
      if (a === b && b === c && c === d) continue;
      const top = 2 * i;
      const right = 2 * (i + 1) + 1;
      const bottom = 2 * (i + w);
      const left = 2 * i + 1;
      // going round a, b, c, d: the line enters where dark turns to bright and leaves where bright turns to dark
      const ends: number[] = [];
      const starts: number[] = [];
      const corners = [a, b, c, d];
      const edges = [top, right, bottom, left];
      for (let k = 0; k < 4; k++) {
        if (corners[k] === corners[(k + 1) % 4]) continue;
        (corners[k] ? starts : ends).push(edges[k]!);
      }
      if (starts.length === 1) next[starts[0]!] = ends[0]!;
      else if (a) {
        // a saddle: dark corners are kept apart
        next[top] = left;
        next[bottom] = right;
      } else {
        next[right] = top;
        next[left] = bottom;
      }
    }
  }
  let best = new Float64Array(0);
  let bestArea = 0;
  for (let start = 0; start < next.length; start++) {
    if (next[start]! < 0) continue;
    const points: number[] = [];
    let edge = start;
    while (next[edge]! >= 0) {
      const i = edge >> 1;
      const j = edge & 1 ? i + w : i + 1;
      const t = (level - data[i]!) / (data[j]! - data[i]!);
      points.push((i % w) + (edge & 1 ? 0 : t), Math.floor(i / w) + (edge & 1 ? t : 0));
      const to = next[edge]!;
      next[edge] = -1;
      edge = to;
    }
    const area = edge === start ? flatArea(points) : 0;
    if (Math.abs(area) > Math.abs(bestArea)) {
      best = Float64Array.from(points);
      bestArea = area;
    }
  }
  return bestArea < 0 ? reversed(best) : best;
}

/** Shoelace area of a flat ring. */
export function flatArea(ring: ArrayLike<number>): number {
  let twice = 0;
  const n = ring.length;
  for (let i = 0; i < n; i += 2) {
    const j = (i + 2) % n;
    twice += ring[i]! * ring[j + 1]! - ring[j]! * ring[i + 1]!;
  }
  return twice / 2;
}

/** The same flat ring walked the other way. */
export function reversed(ring: Float64Array): Float64Array<ArrayBuffer> {
  const out = new Float64Array(ring.length);
  for (let i = 0, j = ring.length - 2; i < ring.length; i += 2, j -= 2) {
    out[i] = ring[j]!;
    out[i + 1] = ring[j + 1]!;
  }
  return out;
}
