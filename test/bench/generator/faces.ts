/** Faces of a planar graph by walking half-edges; the unbounded one is -1. */
import type { Graph } from './arrangement.js';
import { distance, distanceToLine, isInside, type Point, ringArea } from './polyline.js';

const { atan2, max, min } = Math;

export interface Face {
  ring: Point[];
  /** Indices of the leads round it, in ring order. */
  leads: number[];
}
export interface Faces {
  faces: Face[];
  /** Face on each side of each lead seen along its line, y down: [left, right], -1 outside. */
  sides: [number, number][];
}

export function findFaces(graph: Graph): Faces {
  // Half-edge 2i runs along lead i, 2i + 1 against it.
  const origin = (h: number): number =>
    h % 2 ? graph.leads[h >> 1]!.to : graph.leads[h >> 1]!.from;
  const direction = (h: number): number => {
    const line = graph.leads[h >> 1]!.line;
    const a = h % 2 ? line.at(-1)! : line[0]!;
    // A few tenths of a millimetre away, so that a snapped end does not decide.
    let k = h % 2 ? line.length - 2 : 1;
    while (distance(a, line[k]!) < 0.3 && k > 0 && k < line.length - 1) k += h % 2 ? -1 : 1;
    return atan2(line[k]![1] - a[1], line[k]![0] - a[0]);
  };
  const around = new Map<number, number[]>();
  for (let h = 0; h < graph.leads.length * 2; h++) {
    around.set(origin(h), [...(around.get(origin(h)) ?? []), h]);
  }
  for (const list of around.values()) list.sort((p, q) => direction(p) - direction(q));
  const next = (h: number): number => {
    const twin = h ^ 1;
    const list = around.get(origin(twin))!;
    return list[(list.indexOf(twin) + list.length - 1) % list.length]!;
  };
  const faceOf = new Array<number>(graph.leads.length * 2).fill(-2);
  const faces: Face[] = [];
  for (let start = 0; start < faceOf.length; start++) {
    if (faceOf[start] !== -2) continue;
    const walk: number[] = [];
    for (let h = start; faceOf[h] === -2; h = next(h)) {
      faceOf[h] = -3;
      walk.push(h);
    }
    // There and back along a lead with an open end encloses nothing.
    const both = new Set(walk);
    const round = walk.filter((h) => !both.has(h ^ 1));
    const ring = round.flatMap((h) => {
      const line = graph.leads[h >> 1]!.line;
      return (h % 2 ? [...line].reverse() : line).slice(0, -1);
    });
    const bounded = ringArea(ring) > 0;
    for (const h of walk) faceOf[h] = bounded ? faces.length : -1;
    if (bounded) faces.push({ ring, leads: walk.map((h) => h >> 1) });
  }
  // With y down a face of positive area lies to the right of its half-edges on screen.
  const sides = graph.leads.map((_, i): [number, number] => [faceOf[2 * i + 1]!, faceOf[2 * i]!]);
  return { faces, sides };
}

/** Radius of the largest circle of visible glass in a face, by a grid of about 2 mm. */
export function sightRadiusMm(graph: Graph, face: Face): number {
  const xs = face.ring.map((p) => p[0]);
  const ys = face.ring.map((p) => p[1]);
  const [x0, x1, y0, y1] = [min(...xs), max(...xs), min(...ys), max(...ys)];
  const step = max(1.5, min(x1 - x0, y1 - y0) / 16);
  let best = 0;
  for (let y = y0 + step / 2; y < y1; y += step) {
    for (let x = x0 + step / 2; x < x1; x += step) {
      if (!isInside([x, y], face.ring)) continue;
      let room = Infinity;
      for (const i of face.leads) {
        const lead = graph.leads[i]!;
        room = min(room, distanceToLine([x, y], lead.line) - lead.widthMm / 2);
        if (room <= best) break;
      }
      best = max(best, room);
    }
  }
  return best;
}
