/** What happens at a node: which leads run through it, where a lead bends. */
import { type Draft, type DraftLead, draftOf, lineOf, pointOf } from './draft.js';
import { clusters, type LeadEnd, leadEnds, tangentAt } from './junction-ends.js';
import type { Through } from './settle.js';

/** A disc on the panel, mm. */
export interface Place {
  readonly x: number;
  readonly y: number;
  readonly radiusMm: number;
}

export function isWithin(places: readonly Place[], x: number, y: number): boolean {
  return places.some((p) => Math.hypot(p.x - x, p.y - y) < p.radiusMm);
}

/** Leads that meet within 24° of straight run through. */
const THROUGH_RAD = 0.42;

/** Pairs of leads that run through a node as one, straightest first; each end is used once. */
export function throughPairs(draft: Draft, ends: readonly (readonly LeadEnd[])[]): Through[] {
  const out: Through[] = [];
  ends.forEach((list, node) => {
    const x = draft.xy[2 * node]!;
    const y = draft.xy[2 * node + 1]!;
    const tangents = list.map((end) => tangentAt(end, x, y));
    const pairs: { turn: number; i: number; j: number }[] = [];
    for (let i = 0; i < list.length; i++) {
      for (let j = 0; j < i; j++) {
        const a = tangents[i]!;
        const b = tangents[j]!;
        const cos = -(a.dx * b.dx + a.dy * b.dy);
        const turn = Math.acos(Math.max(-1, Math.min(1, cos)));
        if (turn < THROUGH_RAD) pairs.push({ turn, i, j });
      }
    }
    pairs.sort((p, q) => p.turn - q.turn);
    const used = new Set<number>();
    for (const { i, j } of pairs) {
      if (used.has(i) || used.has(j)) continue;
      used.add(i).add(j);
      out.push({ node, a: beside(list[i]!), b: beside(list[j]!) });
    }
  });
  return out;
}

function beside(end: LeadEnd): number {
  return end.atFrom ? pointOf(end.lead, 1) : pointOf(end.lead, end.lead.count);
}

/**
 * Splits leads at sharp bends: where the direction turns by more than 38° between 7 mm before and 7 mm after and
 * most of it within the middle. The bend becomes a node of two leads, placed where their lines meet.
 */
export function splitCorners(draft: Draft): Draft {
  const nodes: number[] = Array.from(draft.xy.subarray(0, 2 * draft.nodeCount));
  const lines = draft.leads.flatMap((lead) => {
    const line = lineOf(draft, lead);
    const at = cornersOf(line);
    if (at.length === 0) return [{ ...lead, line }];
    const out: (DraftLead & { line: Float64Array })[] = [];
    let from = lead.from;
    let start = 0;
    for (const k of at) {
      const node = nodes.length / 2;
      nodes.push(line[2 * k]!, line[2 * k + 1]!);
      out.push({ ...lead, from, to: node, line: line.slice(2 * start, 2 * k + 2) });
      from = node;
      start = k;
    }
    out.push({ ...lead, from, line: line.slice(2 * start) });
    return out;
  });
  return lines.length === draft.leads.length ? draft : draftOf(nodes, lines);
}

function cornersOf(line: Float64Array): number[] {
  const n = line.length / 2;
  const reach = 7;
  const turn = (k: number, r: number): number => {
    const ux = line[2 * k]! - line[2 * (k - r)]!;
    const uy = line[2 * k + 1]! - line[2 * (k - r) + 1]!;
    const vx = line[2 * (k + r)]! - line[2 * k]!;
    const vy = line[2 * (k + r) + 1]! - line[2 * k + 1]!;
    return Math.abs(Math.atan2(ux * vy - uy * vx, ux * vx + uy * vy));
  };
  const turns = new Float64Array(n);
  for (let k = reach; k < n - reach; k++) turns[k] = turn(k, reach);
  const out: number[] = [];
  for (let k = reach + 2; k < n - reach - 2; k++) {
    if (turns[k]! < 0.66) continue;
    let best = true;
    for (let j = Math.max(0, k - 8); j <= Math.min(n - 1, k + 8); j++) {
      if (turns[j]! > turns[k]! || (turns[j] === turns[k] && j < k)) best = false;
    }
    if (!best) continue;
    // a round bend turns as much per millimetre further out: 15 mm apart the turn would nearly double
    const wide = Math.min(14, k, n - 1 - k);
    if (wide >= 10 && turn(k, wide) > 1.45 * turns[k]!) continue;
    out.push(k);
  }
  return out;
}

/** The draft without `gone`, its nodes renamed by `find`, points spread evenly again. */
export function rebuild(
  draft: Draft,
  gone: ReadonlySet<DraftLead>,
  find: (node: number) => number,
): Draft {
  const name = new Map<number, number>();
  const nodes: number[] = [];
  const nodeOf = (k: number): number => {
    const root = find(k);
    let index = name.get(root);
    if (index === undefined) {
      index = nodes.length / 2;
      name.set(root, index);
      nodes.push(draft.xy[2 * root]!, draft.xy[2 * root + 1]!);
    }
    return index;
  };
  const lines = draft.leads
    .filter((lead) => !gone.has(lead))
    .map((lead) => {
      const line = lineOf(draft, lead);
      const from = nodeOf(lead.from);
      const to = nodeOf(lead.to);
      line[0] = nodes[2 * from]!;
      line[1] = nodes[2 * from + 1]!;
      line[line.length - 2] = nodes[2 * to]!;
      line[line.length - 1] = nodes[2 * to + 1]!;
      return { ...lead, from, to, line };
    });
  return draftOf(nodes, lines);
}

/** Ends judged with nodes closer than 8 mm along a wall as one junction. */
export function endsNow(draft: Draft): LeadEnd[][] {
  return leadEnds(draft, clusters(draft, 8));
}
