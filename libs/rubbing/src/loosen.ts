/** Takes a draft apart at its junctions and lets each lead find its own way there; see `rejoin`. */

import { type Draft, type DraftLead, draftOf, lineOf, pointOf } from './draft.js';
import { grouped } from './grouped.js';
import {
  type Arm,
  armsOf,
  freePart,
  type Hold,
  junctionsOf,
  type LoosenedDraft,
  pairsOf,
  runOn,
} from './junction-arms.js';
import type { Place } from './junctions.js';
import { SegmentBins } from './segment-bins.js';
import type { PointTargets, Through } from './settle.js';

/** A loose end drawn on to what it hits. */
export interface RunOn {
  /** Flat x,y from the last free point on; the last is the hit where there is one. */
  readonly line: readonly number[];
  /** The lead that is hit. */
  readonly onto: number | undefined;
}

const MAX_REACH_MM = 45;
/** A millimetre over bare paper counts as so many over wax: ends that would cross glass wait for the others. */
const BARE_COSTS = 20;
/** An end that runs over more bare paper than this has missed what it ends at. */
const MAX_BARE_MM = 4;

/**
 * Runs every loose end on along its own arc to the first other line, shortest first, so that of two branches that
 * cross before they reach the lead they end at, the later one ends at the earlier.
 */
export function runOnAll(
  lines: readonly Float64Array[],
  ends: readonly { arm: Arm; isLoose: boolean }[],
  free: readonly (readonly [number, number])[],
  isBare: (x: number, y: number) => boolean,
): Map<Arm, RunOn> {
  const bins = new SegmentBins();
  const looseAt = new Set(
    ends.filter((e) => e.isLoose).map((e) => 2 * e.arm.index + (e.arm.atFrom ? 0 : 1)),
  );
  lines.forEach((line, i) => {
    const [a, b] = free[i]!;
    bins.add(i, line, looseAt.has(2 * i) ? a : 0, looseAt.has(2 * i + 1) ? b : line.length / 2 - 1);
  });
  const run = (arm: Arm): RunOn & { lengthMm: number } => {
    const line = lines[arm.index]!;
    const k = free[arm.index]![arm.atFrom ? 0 : 1];
    let x0 = line[2 * k]!;
    let y0 = line[2 * k + 1]!;
    const out = [x0, y0];
    const reach = Math.min(MAX_REACH_MM, Math.max(arm.zoneMm + 8, 1.7 * arm.zoneMm));
    const on = runOn(arm, x0, y0, reach);
    let bare = 0;
    for (let j = 0; j < on.length; j += 2) {
      const x1 = on[j]!;
      const y1 = on[j + 1]!;
      const hit = bins.firstHit({ x0, y0, x1, y1 }, (other) => other !== arm.index);
      if (hit) {
        out.push(hit.x, hit.y);
        return { line: out, onto: hit.segment.line, lengthMm: j / 4 + BARE_COSTS * bare };
      }
      if (isBare(x1, y1)) bare += 0.5;
      if (bare > MAX_BARE_MM) break;
      out.push(x1, y1);
      x0 = x1;
      y0 = y1;
    }
    return { line: out, onto: undefined, lengthMm: Infinity };
  };
  const loose = ends.filter((e) => e.isLoose).map((e) => e.arm);
  const order = loose
    .map((arm) => ({ arm, lengthMm: run(arm).lengthMm }))
    .sort((a, b) => a.lengthMm - b.lengthMm);
  const out = new Map<Arm, RunOn>();
  for (const { arm } of order) {
    const found = run(arm);
    out.set(arm, found);
    if (found.onto !== undefined) bins.add(arm.index, Float64Array.from(found.line));
  }
  return out;
}

/**
 * @param targets what the wax says of `draft`, to know where each lead is free of the others
 * @param kept places whose nodes stay as they are
 */
export function loosen(
  draft: Draft,
  targets: PointTargets,
  kept: readonly Place[],
  isBare: (x: number, y: number) => boolean,
): LoosenedDraft {
  const keep: Place[] = [...kept];
  let arms: Arm[] = [];
  let pairs: [Arm, Arm][] = [];
  let inner: ReadonlySet<DraftLead> = new Set();
  let members = new Map<number, number[]>();
  let isKept: (junction: number) => boolean = () => false;
  for (let round = 0; round < 2; round++) {
    const found = junctionsOf(draft, keep);
    inner = found.inner;
    const nodes = grouped(
      Array.from({ length: draft.nodeCount }, (_, k) => k),
      (node) => found.junctionOf[node]!,
    );
    members = nodes;
    arms = armsOf(
      draft,
      (lead, atFrom) => found.junctionOf[atFrom ? lead.from : lead.to]!,
      inner,
      targets,
    );
    pairs = pairsOf(arms);
    const paired = new Set(pairs.map(([a]) => a.junction));
    const without = new Set(arms.map((a) => a.junction).filter((j) => !paired.has(j)));
    isKept = (junction) =>
      without.has(junction) ||
      nodes
        .get(junction)!
        .some((n) =>
          keep.some(
            (p) => Math.hypot(p.x - draft.xy[2 * n]!, p.y - draft.xy[2 * n + 1]!) < p.radiusMm,
          ),
        );
    // a junction that no lead runs through stays as it was traced, its inner walls too
    if (round === 0) {
      for (const j of without) {
        if (nodes.get(j)!.length < 2) continue;
        for (const n of nodes.get(j)!)
          keep.push({ x: draft.xy[2 * n]!, y: draft.xy[2 * n + 1]!, radiusMm: 0.01 });
      }
    }
  }
  const armAt = new Map(arms.map((arm) => [2 * arm.index + (arm.atFrom ? 0 : 1), arm]));
  const paired = new Map<Arm, Arm>();
  for (const [a, b] of pairs) {
    if (isKept(a.junction)) continue;
    paired.set(a, b).set(b, a);
  }
  const wanted = draft.leads.map((_, i) => i).filter((i) => !inner.has(draft.leads[i]!));
  const lines = draft.leads.map((lead) => lineOf(draft, lead));
  const free = draft.leads.map((lead, i): [number, number] =>
    inner.has(lead) ? [0, 0] : freePart(lead, armAt.get(2 * i)!, armAt.get(2 * i + 1)!),
  );

  // pairs first: each lead of a pair runs to the middle between both
  const nodes: number[] = [];
  const nodeName = new Map<string, number>();
  const nodeFor = (name: string, x: number, y: number): number => {
    const known = nodeName.get(name);
    if (known !== undefined) return known;
    const k = nodes.length / 2;
    nodes.push(x, y);
    nodeName.set(name, k);
    return k;
  };
  const placeOf = (arm: Arm): [number, number] => {
    const k = free[arm.index]![arm.atFrom ? 0 : 1];
    return [lines[arm.index]![2 * k]!, lines[arm.index]![2 * k + 1]!];
  };
  const nodeOfEnd = new Map<Arm, number>();
  for (const [a, b] of pairs) {
    if (paired.get(a) !== b) continue;
    const [ax, ay] = placeOf(a);
    const [bx, by] = placeOf(b);
    const k = nodeFor(`pair ${a.index} ${a.atFrom}`, (ax + bx) / 2, (ay + by) / 2);
    nodeOfEnd.set(a, k).set(b, k);
  }
  for (const arm of arms) {
    if (nodeOfEnd.has(arm) || !isKept(arm.junction)) continue;
    const n = arm.atFrom ? arm.lead.from : arm.lead.to;
    nodeOfEnd.set(arm, nodeFor(`kept ${n}`, draft.xy[2 * n]!, draft.xy[2 * n + 1]!));
  }
  const isLoose = (arm: Arm): boolean => !nodeOfEnd.has(arm);
  const bridged = lines.map((line, i) => {
    if (inner.has(draft.leads[i]!)) return new Float64Array();
    const from = armAt.get(2 * i)!;
    const to = armAt.get(2 * i + 1)!;
    const [a, b] = free[i]!;
    const head = paired.has(from) ? nodePlace(nodes, nodeOfEnd.get(from)!) : undefined;
    const tail = paired.has(to) ? nodePlace(nodes, nodeOfEnd.get(to)!) : undefined;
    return Float64Array.from([
      ...(head ?? line.subarray(0, 2 * a)),
      ...line.subarray(2 * a, 2 * b + 2),
      ...(tail ?? line.subarray(2 * b + 2)),
    ]);
  });
  // the free stretch may have moved along the line
  const shifted = free.map(([a, b], i): [number, number] => {
    if (inner.has(draft.leads[i]!)) return [0, 0];
    const cut = paired.has(armAt.get(2 * i)!) ? a - 1 : 0;
    return [a - cut, b - cut];
  });
  const runs = runOnAll(
    bridged,
    arms.map((arm) => ({ arm, isLoose: isLoose(arm) })),
    shifted,
    isBare,
  );
  for (const [arm, { line }] of runs) {
    const k = nodeFor(`loose ${arm.index} ${arm.atFrom}`, line.at(-2)!, line.at(-1)!);
    nodeOfEnd.set(arm, k);
  }
  const out = wanted.map((i) => {
    const from = armAt.get(2 * i)!;
    const to = armAt.get(2 * i + 1)!;
    return {
      ...draft.leads[i]!,
      from: nodeOfEnd.get(from)!,
      to: nodeOfEnd.get(to)!,
      line: withRunOns(bridged[i]!, shifted[i]!, runs.get(from), runs.get(to)),
    };
  });
  const loosened = draftOf(nodes, out);
  const holdOf = (arm: Arm): Hold => ({
    kind: paired.has(arm) ? 'paired' : isKept(arm.junction) ? 'kept' : 'loose',
    junction: arm.junction,
  });
  const through: Through[] = [];
  const place = new Map(wanted.map((i, at) => [i, at]));
  const beside = (arm: Arm): number => {
    const lead = loosened.leads[place.get(arm.index)!]!;
    return arm.atFrom ? pointOf(lead, 1) : pointOf(lead, lead.count);
  };
  for (const [a, b] of pairs) {
    if (nodeOfEnd.get(a) === nodeOfEnd.get(b)) {
      through.push({ node: nodeOfEnd.get(a)!, a: beside(a), b: beside(b) });
    }
  }
  return {
    draft: loosened,
    holds: wanted.map((i) => [holdOf(armAt.get(2 * i)!), holdOf(armAt.get(2 * i + 1)!)] as const),
    through,
    placesOf: (junction) =>
      members
        .get(junction)!
        .map((n) => ({ x: draft.xy[2 * n]!, y: draft.xy[2 * n + 1]!, radiusMm: 0.01 })),
  };
}

function nodePlace(nodes: readonly number[], k: number): [number, number] {
  return [nodes[2 * k]!, nodes[2 * k + 1]!];
}

/** The line with its loose ends replaced by their run to what they hit. */
export function withRunOns(
  line: Float64Array,
  free: readonly [number, number],
  from: RunOn | undefined,
  to: RunOn | undefined,
): Float64Array {
  const [a, b] = free;
  const out: number[] = [];
  if (from) {
    for (let j = from.line.length - 2; j >= 2; j -= 2) out.push(from.line[j]!, from.line[j + 1]!);
  }
  out.push(...line.subarray(from ? 2 * a : 0, to ? 2 * b + 2 : line.length));
  if (to) out.push(...to.line.slice(2));
  return Float64Array.from(out);
}
