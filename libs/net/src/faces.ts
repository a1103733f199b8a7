/**
 * Faces of a planar drawing by half-edges.
 *
 * Lead i is half-edges 2i (as drawn, from → to) and 2i + 1 (back). Round each node the half-edges
 * that leave it are ordered by the exact direction of their first segment; since no two leads meet
 * except at nodes (checked before), that order is the true one however the leads bend further out.
 * Source: de Berg et al., Computational Geometry, 3rd ed., section 2.2 (from memory).
 */
import type { XyMm } from './net.js';
import { ringAreaMm2 } from './ring.js';
import { compareAround } from './segments.js';
import type { CleanSketch } from './sketch.js';

/** One closed walk along half-edges with the same face on its right hand (y down). */
export interface Walk {
  readonly halfEdges: readonly number[];
  readonly ringMm: readonly XyMm[];
  /** Positive: round a piece. Negative or zero: the outside of a connected part. */
  readonly areaMm2: number;
  readonly component: number;
}

export interface Faces {
  readonly walks: readonly Walk[];
  /** Walk of each half-edge; -1 for leads that were left out. */
  readonly walkOf: Int32Array;
  readonly componentCount: number;
  readonly nodeCount: number;
  readonly leadCount: number;
}

/** @param takes which leads bound faces; the others are as if not drawn */
export function traceFaces(sketch: CleanSketch, takes: (lead: number) => boolean): Faces {
  const { nodes, leads } = sketch;
  const leaving: number[][] = nodes.map(() => []);
  leads.forEach((lead, i) => {
    if (!takes(i)) return;
    leaving[lead.from]!.push(2 * i);
    leaving[lead.to]!.push(2 * i + 1);
  });
  const next = new Int32Array(2 * leads.length).fill(-1);
  leaving.forEach((out, node) => {
    const start = nodes[node]!;
    out.sort((a, b) => compareAround(start, secondPoint(sketch, a), secondPoint(sketch, b)));
    out.forEach((half, at) => {
      // Arriving by half's twin, go on by the neighbour before it: keeps the face on one hand.
      next[half ^ 1] = out[(at + out.length - 1) % out.length]!;
    });
  });
  const component = components(sketch, takes);
  const walkOf = new Int32Array(2 * leads.length).fill(-1);
  const walks: Walk[] = [];
  for (let first = 0; first < next.length; first++) {
    if (next[first] === -1 || walkOf[first] !== -1) continue;
    const halfEdges: number[] = [];
    for (let half = first; walkOf[half] === -1; half = next[half]!) {
      walkOf[half] = walks.length;
      halfEdges.push(half);
    }
    const ringMm = halfEdges.flatMap((half) => lineOf(sketch, half).slice(0, -1));
    walks.push({
      halfEdges,
      ringMm,
      areaMm2: ringAreaMm2(ringMm),
      component: component.of[startNode(sketch, first)]!,
    });
  }
  return {
    walks,
    walkOf,
    componentCount: component.count,
    nodeCount: leaving.filter((out) => out.length > 0).length,
    leadCount: leads.filter((_, i) => takes(i)).length,
  };
}

/** The lead's line in the direction of a half-edge. */
export function lineOf(sketch: CleanSketch, half: number): readonly XyMm[] {
  const line = sketch.leads[half >> 1]!.lineMm;
  return (half & 1) === 0 ? line : line.toReversed();
}

export function startNode(sketch: CleanSketch, half: number): number {
  const lead = sketch.leads[half >> 1]!;
  return (half & 1) === 0 ? lead.from : lead.to;
}

function secondPoint(sketch: CleanSketch, half: number): XyMm {
  const line = sketch.leads[half >> 1]!.lineMm;
  return (half & 1) === 0 ? line[1]! : line[line.length - 2]!;
}

function components(
  { nodes, leads }: CleanSketch,
  takes: (lead: number) => boolean,
): { of: Int32Array; count: number } {
  const parent = Int32Array.from(nodes, (_, i) => i);
  const root = (node: number): number => {
    let at = node;
    while (parent[at] !== at) {
      parent[at] = parent[parent[at]!]!;
      at = parent[at]!;
    }
    return at;
  };
  const touched = new Set<number>();
  leads.forEach((lead, i) => {
    if (!takes(i)) return;
    touched.add(lead.from).add(lead.to);
    parent[root(lead.from)] = root(lead.to);
  });
  const of = new Int32Array(nodes.length).fill(-1);
  const names = new Map<number, number>();
  for (const node of touched) {
    const top = root(node);
    if (!names.has(top)) names.set(top, names.size);
    of[node] = names.get(top)!;
  }
  return { of, count: names.size };
}
