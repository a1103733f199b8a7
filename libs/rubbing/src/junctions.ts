/** What happens at a node: which leads run through it, which small walls are really one crossing. */
import { type Draft, type DraftLead, draftOf, lengthOf, lineOf, pointOf } from './draft.js';
import type { Through } from './settle.js';

/** A lead's end at a node, seen from the node. */
interface End {
  readonly lead: DraftLead;
  readonly atFrom: boolean;
  /** Line through the lead's stretch 0.6 face … + 9 mm away from the node: a point on it and its direction outwards. */
  readonly px: number;
  readonly py: number;
  readonly dx: number;
  readonly dy: number;
}

/** Leads that meet within 24° of straight run through. */
const THROUGH_RAD = 0.42;

export function endsByNode(draft: Draft): End[][] {
  const out: End[][] = Array.from({ length: draft.nodeCount }, () => []);
  for (const lead of draft.leads) {
    out[lead.from]!.push(endOf(draft, lead, true));
    out[lead.to]!.push(endOf(draft, lead, false));
  }
  return out;
}

function endOf(draft: Draft, lead: DraftLead, atFrom: boolean): End {
  const line = lineOf(draft, lead);
  const n = line.length / 2;
  const at = (k: number): [number, number] => {
    const j = atFrom ? k : n - 1 - k;
    return [line[2 * j]!, line[2 * j + 1]!];
  };
  const skip = Math.min(Math.round(0.6 * lead.faceWidthMm), Math.max(0, ((n - 3) / 2) | 0));
  const last = Math.min(n - 1, skip + 9);
  let mx = 0;
  let my = 0;
  const count = last - skip + 1;
  for (let k = skip; k <= last; k++) {
    const [x, y] = at(k);
    mx += x / count;
    my += y / count;
  }
  let sxx = 0;
  let sxy = 0;
  let syy = 0;
  for (let k = skip; k <= last; k++) {
    const [x, y] = at(k);
    sxx += (x - mx) ** 2;
    sxy += (x - mx) * (y - my);
    syy += (y - my) ** 2;
  }
  const angle = 0.5 * Math.atan2(2 * sxy, sxx - syy);
  let dx = Math.cos(angle);
  let dy = Math.sin(angle);
  const [fx, fy] = at(last);
  const [nx, ny] = at(skip);
  if (dx * (fx - nx) + dy * (fy - ny) < 0) {
    dx = -dx;
    dy = -dy;
  }
  return { lead, atFrom, px: mx, py: my, dx, dy };
}

/** Pairs of leads that run through a node as one, straightest first; each end is used once. */
export function throughPairs(draft: Draft): Through[] {
  const out: Through[] = [];
  endsByNode(draft).forEach((ends, node) => {
    const pairs: { turn: number; i: number; j: number }[] = [];
    for (let i = 0; i < ends.length; i++) {
      for (let j = 0; j < i; j++) {
        const a = ends[i]!;
        const b = ends[j]!;
        const cos = -(a.dx * b.dx + a.dy * b.dy);
        const turn = Math.acos(Math.max(-1, Math.min(1, cos)));
        if (turn < THROUGH_RAD || ends.length === 2) pairs.push({ turn, i, j });
      }
    }
    pairs.sort((p, q) => p.turn - q.turn);
    const used = new Set<number>();
    for (const { i, j } of pairs) {
      if (used.has(i) || used.has(j)) continue;
      used.add(i).add(j);
      out.push({ node, a: beside(ends[i]!), b: beside(ends[j]!) });
    }
  });
  return out;
}

function beside(end: End): number {
  return end.atFrom ? pointOf(end.lead, 1) : pointOf(end.lead, end.lead.count);
}

/**
 * Contracts walls that are the inside of one crossing: short, and the lines of all other leads of both nodes meet in
 * one point within `toleranceMm`.
 */
export function contractShortWalls(draft: Draft, toleranceMm: number): Draft {
  const ends = endsByNode(draft);
  const target = Int32Array.from({ length: draft.nodeCount }, (_, k) => k);
  const find = (a: number): number => {
    while (target[a] !== a) a = target[a]!;
    return a;
  };
  const xy = draft.xy.slice();
  const gone = new Set<DraftLead>();
  const members: number[][] = Array.from({ length: draft.nodeCount }, (_, k) => [k]);
  const short = draft.leads
    .map((lead) => ({ lead, length: lengthOf(draft, lead) }))
    .sort((a, b) => a.length - b.length);
  for (const { lead, length } of short) {
    const a = find(lead.from);
    const b = find(lead.to);
    if (a === b) continue;
    const between = draft.leads.filter((l) => {
      const from = find(l.from);
      const to = find(l.to);
      return (from === a && to === b) || (from === b && to === a);
    });
    if (between.length > 1) continue; // a piece lies between: not the inside of a crossing
    const all = [...members[a]!, ...members[b]!];
    const others = all
      .flatMap((k) => ends[k]!)
      .filter((end) => !gone.has(end.lead) && end.lead !== lead && end.lead.count >= 4);
    const face = others.reduce((m, end) => Math.max(m, end.lead.faceWidthMm), 0);
    if (length > 1.3 * face + 1 || others.length < 2) continue;
    // regions on both sides of the wall must keep other walls
    const meet = meetingPoint(
      others,
      (xy[2 * a]! + xy[2 * b]!) / 2,
      (xy[2 * a + 1]! + xy[2 * b + 1]!) / 2,
    );
    if (meet.worst > toleranceMm && length > 1.2) continue;
    gone.add(lead);
    target[b] = a;
    members[a] = all;
    xy[2 * a] = meet.x;
    xy[2 * a + 1] = meet.y;
  }
  if (gone.size === 0) return draft;
  return rebuild({ ...draft, xy }, gone, find);
}

function meetingPoint(
  ends: readonly End[],
  x0: number,
  y0: number,
): { x: number; y: number; worst: number } {
  // least squares over distances to the lines, weakly pulled to the old place
  const pull = 0.05;
  let a = pull;
  let b = 0;
  let c = pull;
  let u = pull * x0;
  let v = pull * y0;
  for (const e of ends) {
    const nx = e.dy;
    const ny = -e.dx;
    const d = nx * e.px + ny * e.py;
    a += nx * nx;
    b += nx * ny;
    c += ny * ny;
    u += nx * d;
    v += ny * d;
  }
  const det = a * c - b * b;
  const x = (c * u - b * v) / det;
  const y = (a * v - b * u) / det;
  let worst = 0;
  for (const e of ends) worst = Math.max(worst, Math.abs((x - e.px) * e.dy - (y - e.py) * e.dx));
  return { x, y, worst };
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
