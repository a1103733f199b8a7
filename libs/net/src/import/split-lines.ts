/** Lines that cross or touch become edges between places: the drawing as a planar graph. */
import Flatbush from 'flatbush';
import type { XyMm } from '../net.js';
import { turnSign } from '../segments.js';
import type { CartoonRepair } from './cartoon.js';
import { SAME_MM } from './join-ends.js';
import { Places } from './places.js';
import type { RawLine } from './raw-line.js';
import { HERE } from './say-place.js';

/** An edge between two places; `line` is the one it was drawn by. */
export interface Edge {
  readonly from: number;
  readonly to: number;
  readonly line: number;
}

export interface EdgeGraph {
  readonly places: readonly XyMm[];
  readonly edges: readonly Edge[];
}

/** Moving places onto each other can make new crossings, each time smaller. */
const ROUNDS_MAX = 6;

/** Crossings are told once; the same edge drawn twice stays once. */
export function splitLines(lines: readonly RawLine[], repairs: CartoonRepair[]): EdgeGraph {
  const places = new Places(SAME_MM);
  let edges: Edge[] = lines.flatMap(({ pointsMm, isClosed }, line) => {
    const at = pointsMm.map((point) => places.index(point));
    const ends = isClosed ? [...at.slice(1), at[0]!] : at.slice(1);
    return ends.map((to, i) => ({ from: at[i]!, to, line }));
  });
  const crossed = new Set<number>();
  const doubled = new Map<string, { mm: number; at: XyMm }>();
  for (let round = 0; round < ROUNDS_MAX; round++) {
    edges = withoutTwins(edges, places.xy, round === 0 ? doubled : null);
    const cuts = cutsOf(edges, places, crossed);
    if (cuts.size === 0) break;
    edges = edges.flatMap((edge, i) => split(edge, cuts.get(i), places.xy));
  }
  edges = withoutTwins(edges, places.xy, doubled);
  for (const at of crossed) {
    const xyMm = places.xy[at]!;
    repairs.push({
      kind: 'crossing-split',
      sentence: `Two lines crossed ${HERE} without a joint: a joint was put there.`,
      xyMm,
    });
  }
  repairs.push(...sayDoubled([...doubled.values()], lines));
  return { places: places.xy, edges };
}

/** A drawing of pieces, each by itself, draws every lead twice: that is said once. */
function sayDoubled(
  doubled: readonly { mm: number; at: XyMm }[],
  lines: readonly RawLine[],
): CartoonRepair[] {
  if (doubled.length > 1 && lines.every(({ isClosed }) => isClosed)) {
    const total = doubled.reduce((sum, { mm }) => sum + mm, 0);
    return [
      {
        kind: 'duplicate-dropped',
        sentence: `Each piece is drawn by itself: ${doubled.length} edges that two share, ${(total / 1000).toFixed(2)} m in all, were kept once.`,
        xyMm: null,
      },
    ];
  }
  return doubled.map(({ mm, at }) => ({
    kind: 'duplicate-dropped',
    sentence: `A line was drawn twice over ${mm.toFixed(1)} mm ${HERE}: one was kept.`,
    xyMm: at,
  }));
}

/** Without edges of no length, and of those between the same places the first. */
function withoutTwins(
  edges: readonly Edge[],
  xy: readonly XyMm[],
  doubled: Map<string, { mm: number; at: XyMm }> | null,
): Edge[] {
  const seen = new Map<string, Edge>();
  for (const edge of edges) {
    if (edge.from === edge.to) continue;
    const key = edge.from < edge.to ? `${edge.from},${edge.to}` : `${edge.to},${edge.from}`;
    const twin = seen.get(key);
    if (twin === undefined) {
      seen.set(key, edge);
      continue;
    }
    if (doubled === null || twin.line === edge.line) continue;
    const pair = `${Math.min(twin.line, edge.line)},${Math.max(twin.line, edge.line)}`;
    const [a, b] = [xy[edge.from]!, xy[edge.to]!];
    const known = doubled.get(pair);
    doubled.set(pair, {
      mm: (known?.mm ?? 0) + Math.hypot(b[0] - a[0], b[1] - a[1]),
      at: known?.at ?? [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2],
    });
  }
  return [...seen.values()];
}

/** Places inside each edge where another crosses it or ends on it. */
function cutsOf(
  edges: readonly Edge[],
  places: Places,
  crossed: Set<number>,
): Map<number, Set<number>> {
  const { xy } = places;
  const cuts = new Map<number, Set<number>>();
  const cut = (edge: number, place: number) => {
    if (edges[edge]!.from === place || edges[edge]!.to === place) return;
    const known = cuts.get(edge);
    if (known === undefined) cuts.set(edge, new Set([place]));
    else known.add(place);
  };
  if (edges.length === 0) return cuts;
  const index = new Flatbush(edges.length);
  for (const { from, to } of edges) {
    const [a, b] = [xy[from]!, xy[to]!];
    index.add(
      Math.min(a[0], b[0]) - SAME_MM,
      Math.min(a[1], b[1]) - SAME_MM,
      Math.max(a[0], b[0]) + SAME_MM,
      Math.max(a[1], b[1]) + SAME_MM,
    );
  }
  index.finish();
  edges.forEach(({ from, to, line }, i) => {
    const [a, b] = [xy[from]!, xy[to]!];
    const near = index.search(
      Math.min(a[0], b[0]),
      Math.min(a[1], b[1]),
      Math.max(a[0], b[0]),
      Math.max(a[1], b[1]),
    );
    for (const j of near) {
      const other = edges[j]!;
      if (j === i) continue;
      for (const end of [other.from, other.to]) {
        if (end !== from && end !== to && isOn(xy[end]!, a, b)) cut(i, end);
      }
      if (j < i) continue;
      const shares =
        other.from === from || other.from === to || other.to === from || other.to === to;
      if (shares) continue;
      const [c, d] = [xy[other.from]!, xy[other.to]!];
      if (turnSign(a, b, c) * turnSign(a, b, d) >= 0) continue;
      if (turnSign(c, d, a) * turnSign(c, d, b) >= 0) continue;
      const at = places.index(crossing(a, b, c, d));
      const isAtEnd = [from, to, other.from, other.to].includes(at);
      if (!isAtEnd && other.line !== line) crossed.add(at);
      cut(i, at);
      cut(j, at);
    }
  });
  return cuts;
}

function split(edge: Edge, cuts: ReadonlySet<number> | undefined, xy: readonly XyMm[]): Edge[] {
  if (cuts === undefined) return [edge];
  const start = xy[edge.from]!;
  const end = xy[edge.to]!;
  const along = (place: number) =>
    (xy[place]![0] - start[0]) * (end[0] - start[0]) +
    (xy[place]![1] - start[1]) * (end[1] - start[1]);
  const way = [edge.from, ...[...cuts].sort((a, b) => along(a) - along(b)), edge.to];
  return way.slice(1).map((to, i) => ({ from: way[i]!, to, line: edge.line }));
}

/** Within {@link SAME_MM} of the inside of a segment. */
function isOn([px, py]: XyMm, a: XyMm, b: XyMm): boolean {
  const ux = b[0] - a[0];
  const uy = b[1] - a[1];
  const length2 = ux * ux + uy * uy;
  const t = ((px - a[0]) * ux + (py - a[1]) * uy) / length2;
  if (!(t > 0 && t < 1)) return false;
  return Math.hypot(px - a[0] - t * ux, py - a[1] - t * uy) <= SAME_MM;
}

function crossing(a: XyMm, b: XyMm, c: XyMm, d: XyMm): XyMm {
  const rx = b[0] - a[0];
  const ry = b[1] - a[1];
  const sx = d[0] - c[0];
  const sy = d[1] - c[1];
  const t = ((c[0] - a[0]) * sy - (c[1] - a[1]) * sx) / (rx * sy - ry * sx);
  return [a[0] + t * rx, a[1] + t * ry];
}
