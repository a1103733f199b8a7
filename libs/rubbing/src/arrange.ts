/** Leads that each found their own way, joined to one drawing: they meet where their lines meet. */
import { type Draft, draftOf, lineOf } from './draft.js';
import { armsOf, freePart, type LoosenedDraft } from './junction-arms.js';
import type { Place } from './junctions.js';
import { runOnAll, withRunOns } from './loosen.js';
import { contractShort, lengthMm, type Part } from './one-joint.js';
import { SegmentBins } from './segment-bins.js';
import type { PointTargets } from './settle.js';

export interface Arranged {
  /** Sides of its leads are not known yet (-1). */
  readonly draft: Draft;
  /** Junctions with an end that meets nothing. */
  readonly failed: readonly Place[];
}

export function arrange(
  loosened: LoosenedDraft,
  targets: PointTargets,
  isBare: (x: number, y: number) => boolean,
): Arranged {
  const { draft, holds } = loosened;
  const arms = armsOf(
    draft,
    (lead, atFrom) => holds[draft.leads.indexOf(lead)]![atFrom ? 0 : 1].junction,
    new Set(),
    targets,
  );
  const isLoose = (i: number, end: 0 | 1): boolean => holds[i]![end].kind === 'loose';
  const lines = draft.leads.map((lead) => lineOf(draft, lead));
  const free = draft.leads.map((lead, i): [number, number] => {
    const [a, b] = freePart(lead, arms[2 * i]!, arms[2 * i + 1]!);
    return [isLoose(i, 0) ? a : 0, isLoose(i, 1) ? b : lead.count + 1];
  });
  const runs = runOnAll(
    lines,
    arms.map((arm) => ({ arm, isLoose: isLoose(arm.index, arm.atFrom ? 0 : 1) })),
    free,
    isBare,
  );
  const failed: Place[] = [];
  for (const [arm, { onto }] of runs) {
    if (onto === undefined) failed.push(...loosened.placesOf(arm.junction));
  }
  if (failed.length > 0) return { draft, failed };

  const whole = lines.map((line, i) =>
    withRunOns(line, free[i]!, runs.get(arms[2 * i]!), runs.get(arms[2 * i + 1]!)),
  );
  const nodes: number[] = Array.from(draft.xy.subarray(0, 2 * draft.nodeCount));
  const cuts: { at: number; node: number; x: number; y: number }[][] = whole.map(() => []);
  const ends = draft.leads.map(({ from, to }): [number, number] => [from, to]);
  const hits: { a: number; b: number; x: number; y: number }[] = [];
  for (const [arm, { line, onto }] of runs) {
    const x = line.at(-2)!;
    const y = line.at(-1)!;
    const node = nodes.length / 2;
    nodes.push(x, y);
    ends[arm.index]![arm.atFrom ? 0 : 1] = node;
    cuts[onto!]!.push({ at: placeOn(whole[onto!]!, x, y), node, x, y });
    hits.push({ a: arm.index, b: onto!, x, y });
  }
  const bins = new SegmentBins();
  whole.forEach((line, i) => {
    bins.add(i, line);
  });
  for (const { a, b, x, y } of bins.meetings()) {
    const i = a.line;
    const j = b.line;
    const isKnown =
      hits.some(
        (h) =>
          ((h.a === i && h.b === j) || (h.a === j && h.b === i)) &&
          Math.hypot(h.x - x, h.y - y) < 0.6,
      ) ||
      ends[i]!.some(
        (n) => ends[j]!.includes(n) && Math.hypot(nodes[2 * n]! - x, nodes[2 * n + 1]! - y) < 0.6,
      );
    if (isKnown) continue;
    const node = nodes.length / 2;
    nodes.push(x, y);
    cuts[i]!.push({ at: placeOn(whole[i]!, x, y), node, x, y });
    cuts[j]!.push({ at: placeOn(whole[j]!, x, y), node, x, y });
    hits.push({ a: i, b: j, x, y });
  }
  const parts = whole.flatMap((line, i): Part[] => {
    const faceWidthMm = draft.leads[i]!.faceWidthMm;
    const [first, last] = ends[i]!;
    const out: Part[] = [];
    let from = first;
    let start = 0;
    let head = [line[0]!, line[1]!];
    for (const cut of cuts[i]!.sort((p, q) => p.at - q.at)) {
      const k = Math.floor(cut.at);
      const middle = line.subarray(2 * (start + 1), 2 * k + 2);
      out.push({
        from,
        to: cut.node,
        line: Float64Array.from([...head, ...middle, cut.x, cut.y]),
        faceWidthMm,
      });
      from = cut.node;
      start = k;
      head = [cut.x, cut.y];
    }
    out.push({
      from,
      to: last,
      line: Float64Array.from([...head, ...line.subarray(2 * (start + 1))]),
      faceWidthMm,
    });
    return out;
  });
  const pairNodes = new Set(
    holds.flatMap((two, i) =>
      two.flatMap((hold, e) => (hold.kind === 'paired' ? [ends[i]![e]!] : [])),
    ),
  );
  // first whole leads: a node within a lead would halve the wall between two joints
  const joined = contractShort(joinThrough(parts, pairNodes), nodes);
  const used = [...new Set(joined.flatMap((p) => [p.from, p.to]))];
  const name = new Map(used.map((n, k) => [n, k]));
  return {
    draft: draftOf(
      used.flatMap((n) => [nodes[2 * n]!, nodes[2 * n + 1]!]),
      joined.map((p) => ({
        ...p,
        from: name.get(p.from)!,
        to: name.get(p.to)!,
        left: -1,
        right: -1,
      })),
    ),
    failed,
  };
}

/** Point index and share of the stretch after it, nearest to (x, y). */
function placeOn(line: Float64Array, x: number, y: number): number {
  let least = Infinity;
  let best = 0;
  for (let k = 0; k + 3 < line.length; k += 2) {
    const dx = line[k + 2]! - line[k]!;
    const dy = line[k + 3]! - line[k + 1]!;
    const f = Math.max(
      0,
      Math.min(
        1,
        ((x - line[k]!) * dx + (y - line[k + 1]!) * dy) / Math.max(1e-12, dx * dx + dy * dy),
      ),
    );
    const d = Math.hypot(line[k]! + f * dx - x, line[k + 1]! + f * dy - y);
    if (d < least) {
      least = d;
      best = k / 2 + Math.min(f, 0.999999);
    }
  }
  return best;
}

/** Dissolves the nodes at which one lead only runs on. */
function joinThrough(parts: readonly Part[], pairNodes: ReadonlySet<number>): Part[] {
  let now = [...parts];
  for (const node of pairNodes) {
    const at = now.filter((p) => p.from === node || p.to === node);
    if (at.length !== 2 || at[0] === at[1]) continue;
    const [a, b] = at as [Part, Part];
    const first = a.to === node ? a : reversed(a);
    const second = b.from === node ? b : reversed(b);
    if (first.from === second.to) continue; // a ring keeps two nodes
    const la = lengthMm(a.line);
    const lb = lengthMm(b.line);
    now = now.filter((p) => p !== a && p !== b);
    now.push({
      from: first.from,
      to: second.to,
      line: Float64Array.from([...first.line, ...second.line.subarray(2)]),
      faceWidthMm: (la * a.faceWidthMm + lb * b.faceWidthMm) / Math.max(1e-9, la + lb),
    });
  }
  return now;
}

function reversed(part: Part): Part {
  const { line } = part;
  const n = line.length / 2;
  const back = new Float64Array(line.length);
  for (let k = 0; k < n; k++) {
    back[2 * k] = line[2 * (n - 1 - k)]!;
    back[2 * k + 1] = line[2 * (n - 1 - k) + 1]!;
  }
  return { ...part, from: part.to, to: part.from, line: back };
}
