/** Keeps a settled draft drawable: leads meet at nodes only. */
import { type Draft, type DraftLead, draftOf, lineOf } from './draft.js';
import { rebuild } from './junctions.js';

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

/** Crossings and touches of segments of different leads away from a node they share; bins of 8 mm. */
export function findCrossings(draft: Draft): Crossing[] {
  const bins = new Map<number, number[]>();
  const segments: (Segment & { lead: number })[] = [];
  draft.leads.forEach((lead, i) => {
    const line = lineOf(draft, lead);
    for (let k = 0; k + 3 < line.length; k += 2) {
      const s = {
        lead: i,
        x0: line[k]!,
        y0: line[k + 1]!,
        x1: line[k + 2]!,
        y1: line[k + 3]!,
      };
      const at = segments.length;
      segments.push(s);
      for (
        let u = Math.floor(Math.min(s.x0, s.x1) / 8);
        u <= Math.floor(Math.max(s.x0, s.x1) / 8);
        u++
      ) {
        for (
          let v = Math.floor(Math.min(s.y0, s.y1) / 8);
          v <= Math.floor(Math.max(s.y0, s.y1) / 8);
          v++
        ) {
          const key = (u + 32768) * 65536 + v + 32768;
          const bin = bins.get(key);
          if (bin) bin.push(at);
          else bins.set(key, [at]);
        }
      }
    }
  });
  const out = new Map<string, Crossing>();
  for (const bin of bins.values()) {
    for (let i = 0; i < bin.length; i++) {
      for (let j = 0; j < i; j++) {
        const s = segments[bin[i]!]!;
        const t = segments[bin[j]!]!;
        if (s.lead === t.lead || areApart(s, t)) continue;
        const hit = intersection(s, t);
        if (!hit) continue;
        const p = draft.leads[s.lead]!;
        const q = draft.leads[t.lead]!;
        const atNode = [p.from, p.to].some(
          (node) =>
            (node === q.from || node === q.to) &&
            Math.hypot(draft.xy[2 * node]! - hit[0], draft.xy[2 * node + 1]! - hit[1]) < 1e-6,
        );
        if (atNode) continue;
        const key = `${Math.min(s.lead, t.lead)},${Math.max(s.lead, t.lead)}`;
        if (!out.has(key)) out.set(key, { a: s.lead, b: t.lead, x: hit[0], y: hit[1] });
      }
    }
  }
  return [...out.values()];
}

interface Segment {
  readonly x0: number;
  readonly y0: number;
  readonly x1: number;
  readonly y1: number;
}

/** Do the segments' boxes lie clear of one another? By a hair more than `intersection` allows. */
function areApart(s: Segment, t: Segment): boolean {
  return (
    Math.max(s.x0, s.x1) + HAIR_MM < Math.min(t.x0, t.x1) ||
    Math.max(t.x0, t.x1) + HAIR_MM < Math.min(s.x0, s.x1) ||
    Math.max(s.y0, s.y1) + HAIR_MM < Math.min(t.y0, t.y1) ||
    Math.max(t.y0, t.y1) + HAIR_MM < Math.min(s.y0, s.y1)
  );
}

const HAIR_MM = 1e-6;

function intersection(s: Segment, t: Segment): [number, number] | undefined {
  const ax = s.x1 - s.x0;
  const ay = s.y1 - s.y0;
  const bx = t.x1 - t.x0;
  const by = t.y1 - t.y0;
  const det = ax * by - ay * bx;
  if (Math.abs(det) < 1e-12) return undefined;
  const u = ((t.x0 - s.x0) * by - (t.y0 - s.y0) * bx) / det;
  const v = ((t.x0 - s.x0) * ay - (t.y0 - s.y0) * ax) / det;
  const e = 1e-9;
  return u < -e || u > 1 + e || v < -e || v > 1 + e ? undefined : [s.x0 + u * ax, s.y0 + u * ay];
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
