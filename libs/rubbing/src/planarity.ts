/** Keeps a settled draft drawable: leads meet at nodes only. */
import { type Draft, type DraftLead, draftOf, lineOf } from './draft.js';
import { rebuild } from './junctions.js';
import { SegmentBins } from './segment-bins.js';

interface Crossing {
  readonly a: number;
  readonly b: number;
  readonly x: number;
  readonly y: number;
}

/**
 * Leads that cross near a node that both end at meet there instead: the node moves to the crossing. Where that does not
 * help, the less certain of the two runs straight between its ends, and in the end is taken out.
 * @param certainty per lead; the smaller one gives way
 */
export function withoutCrossings(draft: Draft, certainty: (lead: DraftLead) => number): Draft {
  let now = draft;
  for (let round = 0; round < 12; round++) {
    const crossings = findCrossings(now);
    if (crossings.length === 0) return now;
    const touched = new Set<number>();
    const gone = new Set<DraftLead>();
    const lines = now.leads.map((lead) => lineOf(now, lead));
    const xy = now.xy.slice();
    for (const { a, b, x, y } of crossings) {
      if (touched.has(a) || touched.has(b)) continue;
      const p = now.leads[a]!;
      const q = now.leads[b]!;
      const shared = [p.from, p.to].filter((node) => node === q.from || node === q.to);
      shared.sort(
        (i, j) =>
          Math.hypot(xy[2 * i]! - x, xy[2 * i + 1]! - y) -
          Math.hypot(xy[2 * j]! - x, xy[2 * j + 1]! - y),
      );
      const node = shared[0];
      const reach =
        node === undefined ? Infinity : Math.hypot(xy[2 * node]! - x, xy[2 * node + 1]! - y);
      if (node !== undefined && reach < 15 && round < 8) {
        cutAt(lines, a, p.from === node, x, y);
        cutAt(lines, b, q.from === node, x, y);
        xy[2 * node] = x;
        xy[2 * node + 1] = y;
        for (let i = 0; i < now.leads.length; i++) {
          const lead = now.leads[i]!;
          if (lead.from !== node && lead.to !== node) continue;
          touched.add(i);
          const line = lines[i]!;
          if (lead.from === node) line.set([x, y], 0);
          if (lead.to === node) line.set([x, y], line.length - 2);
        }
      } else if (round >= 4) {
        gone.add(certainty(p) < certainty(q) ? p : q);
        touched.add(a).add(b);
      } else {
        // one of the two runs straight between its ends
        const weaker = certainty(p) < certainty(q) ? a : b;
        const line = lines[weaker]!;
        lines[weaker] = Float64Array.from([
          line[0]!,
          line[1]!,
          line[line.length - 2]!,
          line[line.length - 1]!,
        ]);
        touched.add(a).add(b);
      }
    }
    const nodes = xy.subarray(0, 2 * now.nodeCount);
    const next = draftOf(
      nodes,
      now.leads.map((lead, i) => ({ ...lead, line: lines[i]! })),
    );
    const dropped = new Set(next.leads.filter((_, i) => gone.has(now.leads[i]!)));
    now = dropped.size > 0 ? withoutDangling(rebuild(next, dropped, (k) => k)) : next;
  }
  return now;
}

/** Takes off the part of a line between one end and the place nearest to (x, y). */
function cutAt(lines: Float64Array[], index: number, atStart: boolean, x: number, y: number): void {
  const line = lines[index]!;
  const n = line.length / 2;
  let best = atStart ? 1 : n - 2;
  let least = Infinity;
  for (let k = 1; k + 1 < n; k++) {
    const d = Math.hypot(line[2 * k]! - x, line[2 * k + 1]! - y);
    if (d < least) {
      least = d;
      best = k;
    }
  }
  if (n < 4) return;
  lines[index] = atStart
    ? Float64Array.from([x, y, ...line.subarray(2 * Math.min(n - 1, best + 1))])
    : Float64Array.from([...line.subarray(0, 2 * Math.max(1, best)), x, y]);
}

/** Crossings and touches of different leads away from a node they share, one for each two leads. */
export function findCrossings(draft: Draft): Crossing[] {
  const bins = new SegmentBins();
  draft.leads.forEach((lead, i) => {
    bins.add(i, lineOf(draft, lead));
  });
  const out = new Map<string, Crossing>();
  for (const { a, b, x, y } of bins.meetings()) {
    const p = draft.leads[a.line]!;
    const q = draft.leads[b.line]!;
    const atNode = [p.from, p.to].some(
      (node) =>
        (node === q.from || node === q.to) &&
        Math.hypot(draft.xy[2 * node]! - x, draft.xy[2 * node + 1]! - y) < 1e-6,
    );
    if (atNode) continue;
    const key = `${Math.min(a.line, b.line)},${Math.max(a.line, b.line)}`;
    if (!out.has(key)) out.set(key, { a: a.line, b: b.line, x, y });
  }
  return [...out.values()];
}

/** Takes out leads that end in nothing, again and again until none is left. */
export function withoutDangling(draft: Draft): Draft {
  let now = draft;
  for (;;) {
    const degree = new Int32Array(now.nodeCount);
    for (const lead of now.leads) {
      degree[lead.from]!++;
      degree[lead.to]!++;
    }
    const loose = new Set(now.leads.filter((l) => degree[l.from] === 1 || degree[l.to] === 1));
    if (loose.size === 0) return now;
    now = rebuild(now, loose, (k) => k);
  }
}
