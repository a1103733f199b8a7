/** Edges that end free bound no piece: they are taken out, and a person is told. */
import type { XyMm } from '../net.js';
import type { Edge, EdgeGraph } from './split-lines.js';

export interface FreeLine {
  readonly lengthMm: number;
  /** Its free ends. */
  readonly tipsMm: readonly XyMm[];
}

/** @param isKept lines that may end free: straps lie on one face only, broken leads say so */
export function withoutFreeEnds(
  { places, edges }: EdgeGraph,
  isKept: (line: number) => boolean,
): { edges: Edge[]; free: FreeLine[] } {
  const at: number[][] = places.map(() => []);
  edges.forEach(({ from, to, line }, i) => {
    if (isKept(line)) return;
    at[from]!.push(i);
    at[to]!.push(i);
  });
  const degree = at.map((list) => list.length);
  const gone = new Set<number>();
  const queue = degree.flatMap((n, place) => (n === 1 ? [place] : []));
  const tips = new Set(queue);
  for (let place = queue.pop(); place !== undefined; place = queue.pop()) {
    const edge = at[place]!.find((i) => !gone.has(i));
    if (edge === undefined || degree[place] !== 1) continue;
    gone.add(edge);
    const { from, to } = edges[edge]!;
    const next = from === place ? to : from;
    degree[place] = 0;
    degree[next]!--;
    if (degree[next] === 1) queue.push(next);
  }
  return {
    edges: edges.filter((_, i) => !gone.has(i)),
    free: linesOf(places, edges, gone, at, degree, tips),
  };
}

/** What was taken out, as lines: joined where nothing else goes on. */
function linesOf(
  places: readonly XyMm[],
  edges: readonly Edge[],
  gone: ReadonlySet<number>,
  at: readonly (readonly number[])[],
  degree: readonly number[],
  tips: ReadonlySet<number>,
): FreeLine[] {
  const seen = new Set<number>();
  const lines: FreeLine[] = [];
  for (const start of gone) {
    if (seen.has(start)) continue;
    seen.add(start);
    const stack = [start];
    let lengthMm = 0;
    const ends = new Set<number>();
    for (let i = stack.pop(); i !== undefined; i = stack.pop()) {
      const { from, to } = edges[i]!;
      lengthMm += Math.hypot(places[to]![0] - places[from]![0], places[to]![1] - places[from]![1]);
      for (const place of [from, to]) {
        if (tips.has(place)) ends.add(place);
        if (degree[place]! > 0) continue; // the rest of the drawing
        for (const next of at[place]!) {
          if (!gone.has(next) || seen.has(next)) continue;
          seen.add(next);
          stack.push(next);
        }
      }
    }
    if (ends.size === 0) ends.add(edges[start]!.from);
    lines.push({ lengthMm, tipsMm: [...ends].map((place) => places[place]!) });
  }
  return lines;
}
