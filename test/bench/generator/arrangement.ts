/**
 * Curves to a planar graph: cut at crossings, dangling ends taken off, chains between joints joined to leads.
 * Generated data only: crossings are snapped to 0.001 mm, not computed exactly.
 */
import type { CameKind, Curve } from './curve.js';
import { distance, lengthMm, type Point } from './polyline.js';

// Jest reaches globals slowly: 358 s became a few with these names kept.
const { abs, atan2, max, min, round } = Math;

export interface GraphLead {
  from: number;
  to: number;
  line: Point[];
  widthMm: number;
  kind: CameKind;
}
export interface Graph {
  nodes: Point[];
  leads: GraphLead[];
}

interface Cut {
  t: number;
  point: Point;
}

const SNAP_MM = 1e-3;

/** @param shortestMm leads between two joints shorter than this are drawn together into one joint. */
export function arrange(curves: readonly Curve[], shortestMm = 3): Graph {
  const edges = cutAtCrossings(curves);
  return contractShort(joinChains(dropDangling(edges)), shortestMm);
}

function cutAtCrossings(curves: readonly Curve[]): GraphLead[] {
  const segments = curves.flatMap((curve, c) =>
    curve.line.slice(1).map((b, i) => {
      const a = curve.line[i]!;
      return {
        a,
        b,
        c,
        cuts: [] as Cut[],
        x0: min(a[0], b[0]) - SNAP_MM,
        x1: max(a[0], b[0]),
        y0: min(a[1], b[1]) - SNAP_MM,
        y1: max(a[1], b[1]),
      };
    }),
  );
  for (let i = 0; i < segments.length; i++) {
    const s = segments[i]!;
    for (let j = i + 1; j < segments.length; j++) {
      const r = segments[j]!;
      if (s.x1 < r.x0 || r.x1 < s.x0 || s.y1 < r.y0 || r.y1 < s.y0) continue;
      const dx1 = s.b[0] - s.a[0];
      const dy1 = s.b[1] - s.a[1];
      const dx2 = r.b[0] - r.a[0];
      const dy2 = r.b[1] - r.a[1];
      const det = dx1 * dy2 - dy1 * dx2;
      if (abs(det) < 1e-9) continue;
      const t = ((r.a[0] - s.a[0]) * dy2 - (r.a[1] - s.a[1]) * dx2) / det;
      const u = ((r.a[0] - s.a[0]) * dy1 - (r.a[1] - s.a[1]) * dx1) / det;
      if (t < -1e-6 || t > 1 + 1e-6 || u < -1e-6 || u > 1 + 1e-6) continue;
      const point: Point = [s.a[0] + t * dx1, s.a[1] + t * dy1];
      s.cuts.push({ t, point });
      r.cuts.push({ t: u, point });
    }
  }
  const index = new Map<string, number>();
  const edges: GraphLead[] = [];
  const key = (p: Point): number => {
    const name = `${round(p[0] / SNAP_MM)},${round(p[1] / SNAP_MM)}`;
    const known = index.get(name);
    if (known !== undefined) return known;
    index.set(name, index.size);
    return index.size - 1;
  };
  const seen = new Set<string>();
  for (const s of segments) {
    const stops = [{ t: 0, point: s.a }, ...s.cuts, { t: 1, point: s.b }].sort((p, q) => p.t - q.t);
    for (let i = 1; i < stops.length; i++) {
      const a = stops[i - 1]!.point;
      const b = stops[i]!.point;
      const from = key(a);
      const to = key(b);
      if (from === to) continue;
      const name = from < to ? `${from}-${to}` : `${to}-${from}`;
      if (seen.has(name)) continue;
      seen.add(name);
      const curve = curves[s.c]!;
      edges.push({ from, to, line: [a, b], widthMm: curve.widthMm, kind: curve.kind });
    }
  }
  return edges;
}

function degrees(edges: readonly GraphLead[]): Map<number, number> {
  const count = new Map<number, number>();
  for (const e of edges) {
    count.set(e.from, (count.get(e.from) ?? 0) + 1);
    count.set(e.to, (count.get(e.to) ?? 0) + 1);
  }
  return count;
}

function dropDangling(all: readonly GraphLead[]): GraphLead[] {
  let edges = [...all];
  for (;;) {
    const count = degrees(edges);
    const kept = edges.filter((e) => count.get(e.from)! > 1 && count.get(e.to)! > 1);
    if (kept.length === edges.length) return edges;
    edges = kept;
  }
}

/** Chains of nodes with two leads become one lead, as wide as the longest part of it. */
export function joinChains(all: readonly GraphLead[]): Graph {
  const at = new Map<number, GraphLead[]>();
  for (const e of all) {
    for (const n of e.from === e.to ? [e.from, e.from] : [e.from, e.to])
      at.set(n, [...(at.get(n) ?? []), e]);
  }
  const isNode = (n: number): boolean => at.get(n)!.length !== 2;
  const used = new Set<GraphLead>();
  const leads: GraphLead[] = [];
  for (const start of at.keys()) {
    if (!isNode(start)) continue;
    for (const first of at.get(start)!) {
      if (used.has(first)) continue;
      let edge = first;
      let node = start;
      let line: Point[] = [];
      let longest = first;
      for (;;) {
        used.add(edge);
        if (lengthMm(edge.line) > lengthMm(longest.line)) longest = edge;
        const forward = edge.from === node;
        const part = forward ? edge.line : [...edge.line].reverse();
        line = line.length === 0 ? [...part] : [...line, ...part.slice(1)];
        node = forward ? edge.to : edge.from;
        if (isNode(node)) break;
        const [p, q] = at.get(node)!;
        edge = p === edge ? q! : p!;
      }
      leads.push({ ...longest, from: start, to: node, line });
    }
  }
  return renumber(leads);
}

function renumber(leads: readonly GraphLead[]): Graph {
  const index = new Map<number, number>();
  const nodes: Point[] = [];
  const number = (n: number, p: Point): number => {
    const known = index.get(n);
    if (known !== undefined) return known;
    index.set(n, nodes.length);
    nodes.push(p);
    return nodes.length - 1;
  };
  const out = leads.map((e) => ({
    ...e,
    from: number(e.from, e.line[0]!),
    to: number(e.to, e.line.at(-1)!),
  }));
  return { nodes, leads: out };
}

function contractShort(graph: Graph, shortestMm: number): Graph {
  let { leads } = graph;
  for (;;) {
    const short = leads.find((e) => e.from !== e.to && lengthMm(e.line) < shortestMm);
    if (!short) return joinChains(leads);
    const a = short.line[0]!;
    const b = short.line.at(-1)!;
    const middle: Point = [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2];
    leads = leads
      .filter((e) => e !== short)
      .map((e) => {
        const line = [...e.line];
        let { from, to } = e;
        if (from === short.from || from === short.to) {
          line[0] = middle;
          from = short.from;
        }
        if (to === short.from || to === short.to) {
          line[line.length - 1] = middle;
          to = short.from;
        }
        return { ...e, from, to, line };
      })
      .filter((e) => e.from !== e.to || lengthMm(e.line) > shortestMm);
  }
}

/** The graph without one lead; joints left with two leads of one width dissolve. */
export function withoutLead(graph: Graph, lead: GraphLead): Graph {
  return joinChains(dropDangling(graph.leads.filter((e) => e !== lead)));
}

export const nodeDegrees = (graph: Graph): number[] => {
  const count = graph.nodes.map(() => 0);
  for (const e of graph.leads) {
    count[e.from]!++;
    count[e.to]!++;
  }
  return count;
};

/** Turn of a polyline at vertex i over reachMm on both sides, radians. */
export function turnAt(line: readonly Point[], i: number, reachMm: number): number {
  const walk = (step: 1 | -1): Point => {
    let k = i;
    let left = reachMm;
    while (k + step >= 0 && k + step < line.length) {
      const d = distance(line[k]!, line[k + step]!);
      if (d >= left) {
        const t = left / d;
        return [
          line[k]![0] + t * (line[k + step]![0] - line[k]![0]),
          line[k]![1] + t * (line[k + step]![1] - line[k]![1]),
        ];
      }
      left -= d;
      k += step;
    }
    return line[k]!;
  };
  const a = walk(-1);
  const c = walk(1);
  const b = line[i]!;
  const before = atan2(b[1] - a[1], b[0] - a[0]);
  const after = atan2(c[1] - b[1], c[0] - b[0]);
  return abs(((after - before + 3 * Math.PI) % (2 * Math.PI)) - Math.PI);
}
