import type { XyMm } from './net.js';
import { distanceToSegmentMm } from './ring.js';

/**
 * Fewer points, none farther than `toleranceMm` from the line given; both ends stay.
 * Source: Douglas and Peucker 1973 (from memory).
 */
export function simplifyLine(line: readonly XyMm[], toleranceMm: number): XyMm[] {
  if (line.length < 3) return [...line];
  const keep = new Uint8Array(line.length);
  keep[0] = keep[line.length - 1] = 1;
  const open: [number, number][] = [[0, line.length - 1]];
  for (let range = open.pop(); range !== undefined; range = open.pop()) {
    const [first, last] = range;
    let worst = toleranceMm;
    let at = -1;
    for (let i = first + 1; i < last; i++) {
      const off = distanceToSegmentMm(line[i]!, line[first]!, line[last]!);
      if (off > worst) {
        worst = off;
        at = i;
      }
    }
    if (at !== -1) {
      keep[at] = 1;
      open.push([first, at], [at, last]);
    }
  }
  return line.filter((_, i) => keep[i] === 1);
}

/** The same for a closed ring; its first vertex and the one farthest from it stay. */
export function simplifyRing(ring: readonly XyMm[], toleranceMm: number): XyMm[] {
  if (ring.length < 4) return [...ring];
  const [x0, y0] = ring[0]!;
  let far = 0;
  let most = -1;
  ring.forEach(([x, y], i) => {
    const d = Math.hypot(x - x0, y - y0);
    if (d > most) {
      most = d;
      far = i;
    }
  });
  const out = simplifyLine(ring.slice(0, far + 1), toleranceMm);
  const back = simplifyLine([...ring.slice(far), ring[0]!], toleranceMm);
  return [...out, ...back.slice(1, -1)];
}
