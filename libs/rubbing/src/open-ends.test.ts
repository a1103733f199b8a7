/** A panel of 100 mm with one lead across it, and a map that shows wax on part of that lead only; drawn by the test. */
import { type Draft, draftOf, lineOf } from './draft.js';
import type { LeadEvidence } from './lead-evidence.js';
import { withOpenEnds } from './open-ends.js';

const SIDE_MM = 100;
const CELLS_PER_MM = 2;
const side = (SIDE_MM + 20) * CELLS_PER_MM;

const straight = (...xy: number[]): Float64Array => Float64Array.from(xy);

/** Nodes 0-3 are the corners, 4 and 5 the ends of the lead across the middle. */
function panel(): Draft {
  const nodes = [0, 0, 100, 0, 100, 100, 0, 100, 0, 50, 100, 50];
  const at = (n: number): [number, number] => [nodes[2 * n]!, nodes[2 * n + 1]!];
  const lead = (from: number, to: number, faceWidthMm: number) => ({
    from,
    to,
    left: 1,
    right: 2,
    faceWidthMm,
    line: straight(...at(from), ...at(to)),
  });
  return draftOf(nodes, [
    lead(0, 1, 10),
    lead(1, 5, 10),
    lead(5, 2, 10),
    lead(2, 3, 10),
    lead(3, 4, 10),
    lead(4, 0, 10),
    lead(4, 5, 6),
  ]);
}

/** @param across how likely a face covers each millimetre of the lead across */
function map(across: (xMm: number) => number): LeadEvidence {
  const plane = (of: (x: number, y: number) => number) => ({
    width: side,
    height: side,
    data: Float32Array.from({ length: side * side }, (_, i) =>
      of((i % side) / CELLS_PER_MM - 10, Math.floor(i / side) / CELLS_PER_MM - 10),
    ),
  });
  const face = plane((x, y) => {
    const rim = Math.min(...[x, y, SIDE_MM - x, SIDE_MM - y].map(Math.abs));
    if (rim < 5) return 1;
    return Math.abs(y - 50) < 3 ? across(x) : 0;
  });
  return {
    face,
    centre: plane(() => 0),
    outside: plane(() => 0),
    cellsPerMm: CELLS_PER_MM,
    originMm: [-10, -10],
  };
}

const ends = (draft: Draft): number[] => {
  const degree = new Array<number>(draft.nodeCount).fill(0);
  for (const { from, to } of draft.leads) {
    degree[from]!++;
    degree[to]!++;
  }
  return degree;
};

it.each([
  ['from the left', (x: number) => (x < 60 ? 1 : 0), 60],
  ['from the right', (x: number) => (x > 45 ? 1 : 0), 45],
])('ends a lead where its wax ends, rubbed %s', (_, across, endMm) => {
  const { draft, open } = withOpenEnds(panel(), map(across));
  const [lead] = [...open];
  expect(open.size).toBe(1);
  expect(ends(draft).filter((d) => d === 1)).toHaveLength(1);
  const line = lineOf(draft, lead!);
  const tip = ends(draft)[lead!.from] === 1 ? line.slice(0, 2) : line.slice(-2);
  expect(Math.abs(tip[0]! - endMm)).toBeLessThan(1.5);
  // the side that it does not reach is one lead again
  expect(draft.leads).toHaveLength(6);
});

it('takes away what was drawn on round a bend', () => {
  const before = panel();
  // the lead across in two parts, as where it was thought to bend
  const lines = before.leads.map((lead) => ({ ...lead, line: lineOf(before, lead) }));
  const across = lines.pop()!;
  const nodes = [...before.xy.subarray(0, 12), 80, 50];
  const bent = draftOf(nodes, [
    ...lines,
    { ...across, to: 6, line: straight(0, 50, 80, 50) },
    { ...across, from: 6, line: straight(80, 50, 100, 50) },
  ]);
  const { draft, open } = withOpenEnds(
    bent,
    map((x) => (x < 60 ? 1 : 0)),
  );
  expect(open.size).toBe(1);
  expect(draft.leads).toHaveLength(6);
  expect(ends(draft).filter((d) => d === 1)).toHaveLength(1);
});

it.each([
  ['rubbed whole', () => 1],
  ['with a gap between two rubbed parts', (x: number) => (x > 35 && x < 65 ? 0 : 1)],
  ['with a gap that the map bridges', (x: number) => (x > 60 ? 0.35 : 1)],
  ['bare for a few millimetres before its joint', (x: number) => (x > 88 ? 0 : 1)],
  ['hardly rubbed at all', (x: number) => (x > 8 ? 0 : 1)],
])('keeps a lead %s as drawn', (_, across) => {
  const before = panel();
  const { draft, open } = withOpenEnds(before, map(across));
  expect(open.size).toBe(0);
  expect(draft).toBe(before);
});
