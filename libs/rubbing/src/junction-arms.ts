/**
 * A draft taken apart at its junctions: which lead ends come together there, which two of them are one lead running
 * through, and each lead drawn on its own to where it would run by itself.
 */

import { type Draft, type DraftLead, lengthOf, pointOf } from './draft.js';
import { grouped } from './grouped.js';
import { arcBeyond, type LeadEnd, leadEnds, tangentAt } from './junction-ends.js';
import { isWithin, type Place } from './junctions.js';
import type { PointTargets, Through } from './settle.js';

/** How one end of a lead of the loosened draft is held. */
export interface Hold {
  /** `kept`: at its node as before; `paired`: runs on into another lead; `loose`: ends at whatever it hits. */
  readonly kind: 'kept' | 'paired' | 'loose';
  /** Name of the junction. */
  readonly junction: number;
}

export interface LoosenedDraft {
  readonly draft: Draft;
  /** Two a lead: at `from`, at `to`. */
  readonly holds: readonly (readonly [Hold, Hold])[];
  readonly through: readonly Through[];
  /** Where the nodes of a junction lay before. */
  readonly placesOf: (junction: number) => readonly Place[];
}

export interface Arm extends LeadEnd {
  readonly index: number;
  readonly junction: number;
  /** The arc from where no joint can have bent the lead, for judging which leads run through. */
  readonly clear: LeadEnd;
}

/** Leads that meet within 24° of straight may run through. */
const THROUGH_RAD = 0.42;
const THROUGH_ASIDE_MM = 1.5;
/** A joint in the wrong place bends its leads for so far beyond what they cover of each other. */
const BEND_MM = 4;
/** A wall between two nodes of one junction is no longer than this. */
const MAX_INNER_MM = 14;

/** Junctions: nodes joined by short walls, never round a piece. */
export function junctionsOf(
  draft: Draft,
  kept: readonly Place[],
): { junctionOf: Int32Array; inner: ReadonlySet<DraftLead> } {
  const root = Int32Array.from({ length: draft.nodeCount }, (_, k) => k);
  const find = (a: number): number => {
    while (root[a] !== a) a = root[a]!;
    return a;
  };
  const widest = new Float64Array(draft.nodeCount);
  for (const lead of draft.leads) {
    for (const node of [lead.from, lead.to]) {
      widest[node] = Math.max(widest[node]!, lead.faceWidthMm);
    }
  }
  const isKept = (node: number): boolean =>
    isWithin(kept, draft.xy[2 * node]!, draft.xy[2 * node + 1]!);
  const inner = new Set<DraftLead>();
  const short = draft.leads
    .map((lead) => ({ lead, length: lengthOf(draft, lead) }))
    .filter(
      ({ lead, length }) =>
        length < Math.min(MAX_INNER_MM, (widest[lead.from]! + widest[lead.to]!) / 2 + 3),
    )
    .sort((a, b) => a.length - b.length);
  for (const { lead } of short) {
    const a = find(lead.from);
    const b = find(lead.to);
    if (a === b || isKept(lead.from) || isKept(lead.to)) continue;
    const doubled = draft.leads.some(
      (l) =>
        l !== lead &&
        !inner.has(l) &&
        ((find(l.from) === a && find(l.to) === b) || (find(l.from) === b && find(l.to) === a)),
    );
    if (doubled) continue; // a piece lies between
    root[a] = b;
    inner.add(lead);
  }
  return { junctionOf: Int32Array.from({ length: draft.nodeCount }, (_, k) => find(k)), inner };
}

/** Ends of all leads that are not inside a junction, each with the arc through its free stretch. */
export function armsOf(
  draft: Draft,
  junctionOf: (lead: DraftLead, atFrom: boolean) => number,
  inner: ReadonlySet<DraftLead>,
  targets: PointTargets,
): Arm[] {
  const rough = leadEnds(draft, (node) => node);
  const zones = new Map<string, number>();
  rough.forEach((list) => {
    for (const end of list) {
      zones.set(`${draft.leads.indexOf(end.lead)} ${end.atFrom ? 0 : 1}`, end.zoneMm);
    }
  });
  const arms: Arm[] = [];
  draft.leads.forEach((lead, index) => {
    if (inner.has(lead)) return;
    const lengthMm = lengthOf(draft, lead);
    for (const atFrom of [true, false]) {
      const zone = zones.get(`${index} ${atFrom ? 0 : 1}`)!;
      const hidden = hiddenMm(lead, atFrom, lengthMm, targets);
      const zoneMm = hidden === undefined || hidden > zone + 8 ? zone : hidden;
      const end = { lead, atFrom, lengthMm };
      arms.push({
        ...arcBeyond(draft, end, zoneMm, 0.45),
        clear: arcBeyond(draft, end, Math.max(zoneMm, zone) + BEND_MM, 0.45),
        index,
        junction: junctionOf(lead, atFrom),
      });
    }
  });
  return arms;
}

/** How far from the end the first two of three points with an edge of their own lie. */
function hiddenMm(
  lead: DraftLead,
  atFrom: boolean,
  lengthMm: number,
  { weight }: PointTargets,
): number | undefined {
  const seen = (k: number): number =>
    k <= lead.count && weight[pointOf(lead, atFrom ? k : lead.count + 1 - k)]! > 0.1 ? 1 : 0;
  for (let k = 1; k <= lead.count; k++) {
    if (seen(k) && seen(k + 1) + seen(k + 2) > 0) {
      return ((k - 0.5) * lengthMm) / (lead.count + 1);
    }
  }
  return undefined;
}

/** Two arms of a junction that are one lead, best first; each arm once. Of two arms alone, both bent or one. */
export function pairsOf(arms: readonly Arm[]): [Arm, Arm][] {
  const byJunction = grouped(arms, (arm) => arm.junction);
  const out: [Arm, Arm][] = [];
  for (const list of byJunction.values()) {
    const pairs: { a: Arm; b: Arm; cost: number }[] = [];
    for (let i = 0; i < list.length; i++) {
      for (let j = 0; j < i; j++) {
        const cost = strain(list[i]!, list[j]!);
        if (cost < 1.4) pairs.push({ a: list[i]!, b: list[j]!, cost });
      }
    }
    pairs.sort((p, q) => p.cost - q.cost);
    const used = new Set<Arm>();
    for (const { a, b } of pairs) {
      if (used.has(a) || used.has(b)) continue;
      used.add(a).add(b);
      out.push([a, b]);
    }
  }
  return out;
}

/** How much two arms must turn and step aside to be one lead; 1 is the most for either alone. */
function strain(a: Arm, b: Arm): number {
  if (a.lead === b.lead && a.lengthMm < 40) return Infinity;
  const x = (a.clear.ox + b.clear.ox) / 2;
  const y = (a.clear.oy + b.clear.oy) / 2;
  const p = tangentAt(a.clear, x, y);
  const q = tangentAt(b.clear, x, y);
  const cos = -(p.dx * q.dx + p.dy * q.dy);
  const turn = Math.acos(Math.max(-1, Math.min(1, cos)));
  if (turn > THROUGH_RAD) return Infinity;
  const dx = p.dx - q.dx;
  const dy = p.dy - q.dy;
  const n = Math.max(1e-9, Math.hypot(dx, dy));
  const aside = Math.abs((p.px - q.px) * dy - (p.py - q.py) * dx) / n;
  return Math.hypot(turn / THROUGH_RAD, aside / THROUGH_ASIDE_MM);
}

/** The line of a lead without its hidden ends: index of the first and last point to keep. */
export function freePart(lead: DraftLead, from: Arm, to: Arm): [number, number] {
  const spacing = from.lengthMm / (lead.count + 1);
  let a = Math.round(Math.min(from.zoneMm, 0.45 * from.lengthMm) / spacing);
  let b = lead.count + 1 - Math.round(Math.min(to.zoneMm, 0.45 * to.lengthMm) / spacing);
  a = Math.min(a, lead.count);
  if (b <= a) b = a + 1;
  return [a, b];
}

/** Places along the arm's arc from (x, y) towards its junction and beyond, every half millimetre. */
export function runOn(arm: Arm, x: number, y: number, reachMm: number): number[] {
  const out: number[] = [];
  let px = x;
  let py = y;
  for (let s = 0.5; s <= reachMm; s += 0.5) {
    const t = tangentAt(arm, px, py);
    // towards the arc again, so that a run begun beside it joins it
    px -= 0.5 * t.dx + 0.1 * (px - t.px);
    py -= 0.5 * t.dy + 0.1 * (py - t.py);
    out.push(px, py);
  }
  return out;
}
