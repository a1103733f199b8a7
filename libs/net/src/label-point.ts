import type { XyMm } from './net.js';
import { boundsMm, ringCentroidMm } from './ring.js';

interface Cell {
  readonly x: number;
  readonly y: number;
  readonly half: number;
  /** Signed distance to the edge, inside positive. */
  readonly distance: number;
  readonly best: number;
}

/** The centroid is taken when it is at least this near to the best distance: numbers sit calmer. */
const CENTROID_RATIO = 0.95;

/**
 * The place inside the rings farthest from any edge, and its distance: where to write a number. The
 * centroid of the first ring is preferred when it lies almost as deep, as in a long rectangle.
 *
 * Even-odd inside, so holes count. Best-first search of a quad-tree of cells; the answer is within
 * `precisionMm` of the best distance. Source: the "pole of inaccessibility" as a search by bounds
 * (Garcia-Castellanos and Lombardo 2007 for the idea, from memory); the search is ours.
 */
export function labelPoint(
  rings: readonly (readonly XyMm[])[],
  precisionMm = 0.2,
): { xyMm: XyMm; radiusMm: number } {
  const box = boundsMm(rings.flat());
  const [width, height] = [box.maxX - box.minX, box.maxY - box.minY];
  // A sliver would otherwise be cut into cells as small as it is thin.
  const cellSize = Math.max(Math.min(width, height), Math.max(width, height) / 64);
  const first = rings[0]!;
  const edges = edgesOf(rings);
  const centroid = cell(...ringCentroidMm(first), 0, edges);
  let best = centroid;
  if (!(cellSize > 0)) return { xyMm: [best.x, best.y], radiusMm: 0 };
  // No circle inside is wider than the box: in a straight strip the centroid is the answer at once.
  const inCentroid = { xyMm: [centroid.x, centroid.y] as const, radiusMm: centroid.distance };
  if (centroid.distance >= (CENTROID_RATIO * Math.min(width, height)) / 2) return inCentroid;
  const half = cellSize / 2;
  let open: Cell[] = [];
  for (let x = box.minX; x < box.maxX; x += cellSize) {
    for (let y = box.minY; y < box.maxY; y += cellSize) {
      open.push(cell(x + half, y + half, half, edges));
    }
  }
  while (open.length > 0) {
    for (const one of open) if (one.distance > best.distance) best = one;
    const next: Cell[] = [];
    for (const { x, y, half: h, best: reach } of open) {
      if (reach <= best.distance + precisionMm) continue;
      const q = h / 2;
      next.push(
        cell(x - q, y - q, q, edges),
        cell(x + q, y - q, q, edges),
        cell(x - q, y + q, q, edges),
        cell(x + q, y + q, q, edges),
      );
    }
    open = next;
  }
  if (centroid.distance >= CENTROID_RATIO * best.distance) return inCentroid;
  return { xyMm: [best.x, best.y], radiusMm: Math.max(0, best.distance) };
}

/** Edges as x, y of both ends, flat: the search measures each of them some hundred times. */
function edgesOf(rings: readonly (readonly XyMm[])[]): Float64Array {
  const out = new Float64Array(4 * rings.reduce((sum, ring) => sum + ring.length, 0));
  let at = 0;
  for (const ring of rings) {
    for (let i = 0, j = ring.length - 1; i < ring.length; j = i++) {
      for (const [vx, vy] of [ring[j]!, ring[i]!]) {
        out[at++] = vx;
        out[at++] = vy;
      }
    }
  }
  return out;
}

function cell(x: number, y: number, half: number, edges: Float64Array): Cell {
  let inside = false;
  let least = Infinity;
  for (let e = 0; e < edges.length; e += 4) {
    const ay = edges[e + 1]!;
    const by = edges[e + 3]!;
    const ux = edges[e + 2]! - edges[e]!;
    const uy = by - ay;
    const dx = x - edges[e]!;
    const dy = y - ay;
    // even-odd: edges that pass to the right of the place
    if (by > y !== ay > y && dx < (ux * dy) / uy) inside = !inside;
    const length2 = ux * ux + uy * uy;
    const t = length2 === 0 ? 0 : Math.min(1, Math.max(0, (dx * ux + dy * uy) / length2));
    const ox = dx - t * ux;
    const oy = dy - t * uy;
    const d2 = ox * ox + oy * oy;
    if (d2 < least) least = d2;
  }
  const distance = inside ? Math.sqrt(least) : -Math.sqrt(least);
  return { x, y, half, distance, best: distance + half * Math.SQRT2 };
}
