/** Edges strung to leads: from joint to joint, of one kind and width. */
import type { LeadKind, SketchLead, XyMm } from '../net.js';
import type { CleanSketch } from '../sketch.js';
import type { RawLine } from './raw-line.js';
import type { Edge, EdgeGraph } from './split-lines.js';

export interface Manner {
  readonly kind: LeadKind;
  readonly faceWidthMm: number;
}

/** What a line of the file says of its lead. */
export function mannerOf({ kind, faceWidthMm }: RawLine, defaultFaceMm: number): Manner {
  // whether a lead is the outer one is told by what lies beside it
  return {
    kind: kind === 'outer' || kind === null ? 'came' : kind,
    faceWidthMm: faceWidthMm ?? defaultFaceMm,
  };
}

/** A came is cut where it would have to turn more sharply (common practice, no source). */
const BEND_RAD = Math.PI / 3;

/** A sketch of the edges, its nodes only where leads end; a ring without a joint gets one. */
export function chains({ places, edges }: EdgeGraph, manners: readonly Manner[]): CleanSketch {
  const at: number[][] = places.map(() => []);
  edges.forEach(({ from, to }, i) => {
    at[from]!.push(i);
    at[to]!.push(i);
  });
  const isJoint = at.map(
    (list, place) =>
      list.length !== 2 ||
      !isOneLead(list, edges, manners) ||
      turnAt(place, list, edges, places) > BEND_RAD,
  );
  const used = new Set<number>();
  const found: { way: number[]; manner: Manner }[] = [];
  const follow = (start: number, first: number) => {
    const way = [start];
    let edge = first;
    for (;;) {
      used.add(edge);
      const { from, to } = edges[edge]!;
      const here = way[way.length - 1]!;
      const next = from === here ? to : from;
      way.push(next);
      if (isJoint[next] || next === start) break;
      edge = at[next]!.find((i) => i !== edge)!;
    }
    found.push({ way, manner: manners[edges[first]!.line]! });
  };
  at.forEach((list, place) => {
    if (!isJoint[place]) return;
    for (const edge of list) if (!used.has(edge)) follow(place, edge);
  });
  edges.forEach(({ from }, i) => {
    if (!used.has(i)) follow(from, i);
  });
  const ends = [...new Set(found.flatMap(({ way }) => [way[0]!, way[way.length - 1]!]))];
  const node = new Map(ends.map((place, i) => [place, i]));
  return {
    nodes: ends.map((place) => places[place]!),
    leads: found.map(
      ({ way, manner }): SketchLead => ({
        from: node.get(way[0]!)!,
        to: node.get(way[way.length - 1]!)!,
        lineMm: way.map((place): XyMm => places[place]!),
        ...manner,
        widthSpreadMm: 0,
        confidenceP: 1,
        doubts: [],
      }),
    ),
    givenAs: found.map((_, i) => i),
  };
}

/** How far two edges that meet turn from straight on. */
function turnAt(
  place: number,
  [a, b]: readonly number[],
  edges: readonly Edge[],
  places: readonly XyMm[],
): number {
  const direction = (edge: number) => {
    const { from, to } = edges[edge]!;
    const there = places[from === place ? to : from]!;
    return Math.atan2(there[1] - places[place]![1], there[0] - places[place]![0]);
  };
  const between = Math.abs(direction(a!) - direction(b!));
  return Math.PI - Math.min(between, 2 * Math.PI - between);
}

/** Two edges that go on as one lead. */
function isOneLead(
  [a, b]: readonly number[],
  edges: readonly Edge[],
  manners: readonly Manner[],
): boolean {
  const [one, other] = [manners[edges[a!]!.line]!, manners[edges[b!]!.line]!];
  return one.kind === other.kind && one.faceWidthMm === other.faceWidthMm;
}
