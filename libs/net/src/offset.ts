/**
 * Rings moved by a distance of their own for each edge: glass sight size (half the face width of
 * each lead), cut size (half the heart and a clearance), and the panel's outline (outwards).
 *
 * Method: the raw curve walks along every moved edge and, at a corner that closes up, through the
 * corner itself. Its winding number is that of the ring less one for every band over a point, so
 * the part with winding 1 or more is exactly the ring without the bands, whatever their widths,
 * and a union with the positive rule finds it. Nothing else (no case list for junctions) is needed.
 * Source: the raw-curve idea is the usual one of polygon offsetting (Chen and McMains, "Polygon
 * offsetting by computing winding numbers", 2005, from memory); one distance per edge is ours.
 */
import { positiveUnion } from './clip.js';
import type { XyMm } from './net.js';
import { distanceMm } from './ring.js';

export interface WalkEdge {
  readonly from: XyMm;
  readonly to: XyMm;
  /** How far this edge moves, negative the other way; the walk closes back to its first edge. */
  readonly byMm: number;
}

/** Arcs at corners that open are drawn to this chord error. */
const ARC_ERROR_MM = 0.01;

/**
 * What is left inside a ring when a band along each edge is taken away.
 *
 * @param walks the positive ring first, then walks of holes and of open leads inside it
 *   (out along one side and back along the other), all with the glass on the same hand
 * @returns rings, positive outside and negative holes; empty when nothing is left
 */
export function insetRings(walks: readonly (readonly WalkEdge[])[]): XyMm[][] {
  return positiveUnion(walks.map((walk) => rawCurve(walk, 1, false)));
}

/** A positive ring with a band outside each edge added; corners are mitred up to a right angle. */
export function outsetRing(walk: readonly WalkEdge[]): XyMm[][] {
  return positiveUnion([rawCurve(walk, -1, true)]);
}

function rawCurve(walk: readonly WalkEdge[], side: 1 | -1, mitre: boolean): XyMm[] {
  const edges = walk.filter((edge) => distanceMm(edge.from, edge.to) > 0);
  const normals = edges.map(({ from, to }): XyMm => {
    const length = distanceMm(from, to);
    // Positive rings have their inside at (-dy, dx).
    return [(-(to[1] - from[1]) / length) * side, ((to[0] - from[0]) / length) * side];
  });
  const curve: XyMm[] = [];
  for (let i = 0; i < edges.length; i++) {
    const next = (i + 1) % edges.length;
    const { from, to, byMm } = edges[i]!;
    const n = normals[i]!;
    const m = normals[next]!;
    curve.push(moved(from, n, byMm), moved(to, n, byMm));
    const turn = (n[0] * m[1] - n[1] * m[0]) * side;
    const ahead = n[0] * m[0] + n[1] * m[1];
    const closes = turn > 0;
    const nextBy = edges[next]!.byMm;
    if ((byMm < 0 || nextBy < 0) && turn !== 0 && ahead > -0.9) {
      // An edge that moves outwards meets its neighbour where both moved edges would cross.
      curve.push(mitrePoint(to, n, byMm, m, nextBy));
      continue;
    }
    if (closes) {
      curve.push(to);
      continue;
    }
    if (turn === 0 && ahead > 0) {
      if (nextBy !== byMm) curve.push(to);
      continue;
    }
    if (mitre && ahead >= -0.05) curve.push(mitrePoint(to, n, byMm, m, nextBy));
    else arc(curve, to, n, m, Math.max(byMm, nextBy), side);
  }
  return curve;
}

function moved([x, y]: XyMm, [nx, ny]: XyMm, byMm: number): XyMm {
  return [x + nx * byMm, y + ny * byMm];
}

/** Where the two moved edges meet: p + u with u·n = a and u·m = b. */
function mitrePoint(p: XyMm, n: XyMm, a: number, m: XyMm, b: number): XyMm {
  const det = n[0] * m[1] - n[1] * m[0];
  if (Math.abs(det) < 1e-3) return moved(p, n, a);
  return [p[0] + (a * m[1] - b * n[1]) / det, p[1] + (b * n[0] - a * m[0]) / det];
}

/** The arc from direction n to direction m round p, on the outside of the corner. */
function arc(curve: XyMm[], p: XyMm, n: XyMm, m: XyMm, radius: number, side: 1 | -1): void {
  if (radius <= 0) return;
  const start = Math.atan2(n[1], n[0]);
  let sweep = Math.atan2(m[1], m[0]) - start;
  // Inset corners that open turn negative, outset ones positive; a turn back is half a circle.
  if (side === 1 && sweep > 0) sweep -= 2 * Math.PI;
  if (side === -1 && sweep < 0) sweep += 2 * Math.PI;
  if (sweep === 0) sweep = -side * Math.PI;
  const step = 2 * Math.acos(Math.max(0, 1 - ARC_ERROR_MM / radius));
  const parts = Math.max(1, Math.ceil(Math.abs(sweep) / step));
  for (let i = 0; i <= parts; i++) {
    const angle = start + (sweep * i) / parts;
    curve.push([p[0] + Math.cos(angle) * radius, p[1] + Math.sin(angle) * radius]);
  }
}
