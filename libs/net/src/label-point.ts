import type { XyMm } from './net.js';
import { boundsMm, distanceToSegmentMm, isInsideRing, ringCentroidMm } from './ring.js';

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
  const centroid = cell(ringCentroidMm(first), 0, rings);
  let best = centroid;
  if (!(cellSize > 0)) return { xyMm: [best.x, best.y], radiusMm: 0 };
  // No circle inside is wider than the box: in a straight strip the centroid is the answer at once.
  const inCentroid = { xyMm: [centroid.x, centroid.y] as const, radiusMm: centroid.distance };
  if (centroid.distance >= (CENTROID_RATIO * Math.min(width, height)) / 2) return inCentroid;
  const half = cellSize / 2;
  let open: Cell[] = [];
  for (let x = box.minX; x < box.maxX; x += cellSize) {
    for (let y = box.minY; y < box.maxY; y += cellSize) {
      open.push(cell([x + half, y + half], half, rings));
    }
  }
  while (open.length > 0) {
    for (const one of open) if (one.distance > best.distance) best = one;
    const next: Cell[] = [];
    for (const { x, y, half: h, best: reach } of open) {
      if (reach <= best.distance + precisionMm) continue;
      const q = h / 2;
      next.push(
        cell([x - q, y - q], q, rings),
        cell([x + q, y - q], q, rings),
        cell([x - q, y + q], q, rings),
        cell([x + q, y + q], q, rings),
      );
    }
    open = next;
  }
  if (centroid.distance >= CENTROID_RATIO * best.distance) return inCentroid;
  return { xyMm: [best.x, best.y], radiusMm: Math.max(0, best.distance) };
}

function cell(place: XyMm, half: number, rings: readonly (readonly XyMm[])[]): Cell {
  let inside = false;
  let nearest = Infinity;
  for (const ring of rings) {
    if (isInsideRing(place, ring)) inside = !inside;
    for (let i = 0, j = ring.length - 1; i < ring.length; j = i++) {
      nearest = Math.min(nearest, distanceToSegmentMm(place, ring[j]!, ring[i]!));
    }
  }
  const distance = inside ? nearest : -nearest;
  return { x: place[0], y: place[1], half, distance, best: distance + half * Math.SQRT2 };
}
