/**
 * The ends of leads at a node, seen from where each lead is free of the others' faces.
 *
 * Inside a junction the wax of all leads runs together and says nothing of one of them. How far that reaches follows
 * from widths and angles; beyond it an arc is fitted, and the arcs say where the leads would meet.
 */
import { type Draft, type DraftLead, lengthOf, pointOf } from './draft.js';
import type { PointTargets } from './settle.js';

export interface LeadEnd {
  readonly lead: DraftLead;
  readonly atFrom: boolean;
  readonly lengthMm: number;
  /** How far from the node the faces of other leads cover this one. */
  readonly zoneMm: number;
  /** 0-1: how much free lead there was to fit. */
  readonly trust: number;
  /** Arc through the free stretch: a place on it, the direction away from the node there, curvature in 1/mm. */
  readonly ox: number;
  readonly oy: number;
  readonly dx: number;
  readonly dy: number;
  readonly curvature: number;
}

const MARGIN_MM = 1;
const MAX_ZONE_MM = 26;
/** Weighs a stretch of some 6 mm half: shorter ones cannot tell an arc from a line. */
const CURVATURE_RIDGE = 2e3;
/** Leads that turn by less than this at a node run through it. */
const RUN_THROUGH_RAD = 0.5;

interface Direction {
  readonly lead: DraftLead;
  readonly atFrom: boolean;
  readonly lengthMm: number;
  readonly angle: number;
}

/**
 * @param cluster name of the group of nodes that each node is judged with (short walls join nodes to one junction)
 */
export function leadEnds(draft: Draft, cluster: (node: number) => number): LeadEnd[][] {
  const rough = new Map<number, Direction[]>();
  const all: { node: number; direction: Direction }[] = [];
  for (const lead of draft.leads) {
    const lengthMm = lengthOf(draft, lead);
    const inside = cluster(lead.from) === cluster(lead.to) && lengthMm < MAX_ZONE_MM;
    for (const atFrom of [true, false]) {
      const node = atFrom ? lead.from : lead.to;
      const direction = {
        lead,
        atFrom,
        lengthMm,
        angle: roughAngle(draft, lead, atFrom, lengthMm),
      };
      all.push({ node, direction });
      if (inside) continue;
      const key = cluster(node);
      const list = rough.get(key);
      if (list) list.push(direction);
      else rough.set(key, [direction]);
    }
  }
  const out: LeadEnd[][] = Array.from({ length: draft.nodeCount }, () => []);
  for (const { node, direction } of all) {
    out[node]!.push(fitEnd(draft, direction, rough.get(cluster(node)) ?? []));
  }
  return out;
}

/** Nodes joined by walls shorter than `lengthMm` have one name. */
export function clusters(draft: Draft, lengthMm: number): (node: number) => number {
  const root = Int32Array.from({ length: draft.nodeCount }, (_, k) => k);
  const find = (a: number): number => {
    while (root[a] !== a) a = root[a]!;
    return a;
  };
  for (const lead of draft.leads) {
    if (lead.from !== lead.to && lengthOf(draft, lead) < lengthMm)
      root[find(lead.from)] = find(lead.to);
  }
  return find;
}

function place(draft: Draft, lead: DraftLead, atFrom: boolean, k: number): [number, number] {
  const p = pointOf(lead, atFrom ? k : lead.count + 1 - k);
  return [draft.xy[2 * p]!, draft.xy[2 * p + 1]!];
}

/** Direction away from the node, from the stretch 4 … 14 mm out. */
function roughAngle(draft: Draft, lead: DraftLead, atFrom: boolean, lengthMm: number): number {
  const spacing = lengthMm / (lead.count + 1);
  const near = Math.min(4, lengthMm * 0.25) / spacing;
  const far = Math.min(14, lengthMm * 0.8) / spacing;
  const [ax, ay] = place(draft, lead, atFrom, Math.round(near));
  const [bx, by] = place(draft, lead, atFrom, Math.max(Math.round(near) + 1, Math.round(far)));
  return Math.atan2(by - ay, bx - ax);
}

function fitEnd(draft: Draft, end: Direction, others: readonly Direction[]): LeadEnd {
  const { lead, atFrom } = end;
  let zone = 0;
  for (const other of others) {
    if (other.lead === lead && other.atFrom === atFrom) continue;
    let theta = Math.abs(end.angle - other.angle) % (2 * Math.PI);
    if (theta > Math.PI) theta = 2 * Math.PI - theta;
    if (theta > Math.PI - RUN_THROUGH_RAD) continue;
    const sine = Math.max(0.18, Math.sin(theta));
    const covered = (other.lead.faceWidthMm + lead.faceWidthMm * Math.cos(theta)) / (2 * sine);
    // a short neighbour hides no more than its own length
    zone = Math.max(zone, Math.min(covered, other.lengthMm) + MARGIN_MM);
  }
  zone = Math.min(zone, MAX_ZONE_MM);
  return arcBeyond(draft, end, zone, 0.25);
}

/**
 * The end's arc from its stretch beyond `zoneMm`.
 * @param mostShare of the lead's length that is left out at most
 */
export function arcBeyond(
  draft: Draft,
  end: { readonly lead: DraftLead; readonly atFrom: boolean; readonly lengthMm: number },
  zoneMm: number,
  mostShare: number,
): LeadEnd {
  const { lead, atFrom, lengthMm } = end;
  const spacing = lengthMm / (lead.count + 1);
  const free = lengthMm - zoneMm;
  const from = Math.round(Math.min(zoneMm, lengthMm * mostShare) / spacing);
  const reach = Math.max(5, Math.min(20, lengthMm * 0.6));
  const to = Math.min(lead.count + 1, from + Math.max(3, Math.round(reach / spacing)));
  const [ax, ay] = place(draft, lead, atFrom, from);
  const [bx, by] = place(draft, lead, atFrom, to);
  const chord = Math.max(1e-9, Math.hypot(bx - ax, by - ay));
  const dx = (bx - ax) / chord;
  const dy = (by - ay) / chord;
  const mx = (ax + bx) / 2;
  const my = (ay + by) / 2;
  // least squares of v = a + b t + c t² about the middle of the chord; a short stretch is taken as straight
  const s = [0, 0, 0, 0, 0];
  const m: [number, number, number] = [0, 0, 0];
  for (let k = from; k <= to; k++) {
    const [x, y] = place(draft, lead, atFrom, k);
    const t = (x - mx) * dx + (y - my) * dy;
    const v = (y - my) * dx - (x - mx) * dy;
    let power = 1;
    for (let i = 0; i < 5; i++) {
      s[i]! += power;
      if (i < 3) m[i]! += power * v;
      power *= t;
    }
  }
  const [a, b, c] = solve3(
    [s[0]!, s[1]!, s[2]!, s[1]!, s[2]!, s[3]!, s[2]!, s[3]!, s[4]! + CURVATURE_RIDGE],
    m,
  );
  const n = Math.hypot(1, b);
  return {
    lead,
    atFrom,
    lengthMm,
    zoneMm: Math.min(zoneMm, lengthMm),
    trust: Math.max(0.05, Math.min(1, free / 12)),
    ox: mx - dy * a,
    oy: my + dx * a,
    dx: (dx - dy * b) / n,
    dy: (dy + dx * b) / n,
    curvature: (2 * c) / n ** 3,
  };
}

function solve3(
  m: readonly number[],
  v: readonly [number, number, number],
): [number, number, number] {
  const [a, b, c, d, e, f, g, h, i] = m as [
    number,
    number,
    number,
    number,
    number,
    number,
    number,
    number,
    number,
  ];
  const det = a * (e * i - f * h) - b * (d * i - f * g) + c * (d * h - e * g);
  if (Math.abs(det) < 1e-12) return [0, 0, 0];
  const [p, q, r] = v;
  return [
    (p * (e * i - f * h) - b * (q * i - f * r) + c * (q * h - e * r)) / det,
    (a * (q * i - f * r) - p * (d * i - f * g) + c * (d * r - q * g)) / det,
    (a * (e * r - q * h) - b * (d * r - q * g) + p * (d * h - e * g)) / det,
  ];
}

/** Nearest place on the end's arc to (x, y), and the direction away from the node there. */
export function tangentAt(
  end: LeadEnd,
  x: number,
  y: number,
): { px: number; py: number; dx: number; dy: number } {
  const k = end.curvature;
  if (Math.abs(k) < 1e-5) {
    const t = (x - end.ox) * end.dx + (y - end.oy) * end.dy;
    return { px: end.ox + t * end.dx, py: end.oy + t * end.dy, dx: end.dx, dy: end.dy };
  }
  // centre on the side of the bend, normal (-dy, dx)
  const cx = end.ox - end.dy / k;
  const cy = end.oy + end.dx / k;
  const ux = x - cx;
  const uy = y - cy;
  const u = Math.max(1e-9, Math.hypot(ux, uy));
  const r = 1 / Math.abs(k);
  const sign = Math.sign(k);
  return {
    px: cx + (ux / u) * r,
    py: cy + (uy / u) * r,
    dx: (-uy / u) * sign,
    dy: (ux / u) * sign,
  };
}

/**
 * Replaces the evidence inside each junction by the lead's own arc, lightly: what is measured there belongs to
 * the other leads.
 */
export function easeAtJunctions(
  draft: Draft,
  ends: readonly (readonly LeadEnd[])[],
  targets: PointTargets,
  normal: { nx: Float64Array; ny: Float64Array },
): void {
  for (const list of ends) {
    if (list.length < 2) continue;
    for (const end of list) {
      const { lead, atFrom, zoneMm, lengthMm, trust } = end;
      const spacing = lengthMm / (lead.count + 1);
      const last = Math.min(lead.count, Math.floor(Math.min(zoneMm, lengthMm * 0.25) / spacing));
      for (let k = 1; k <= last; k++) {
        const p = pointOf(lead, atFrom ? k : lead.count + 1 - k);
        if (trust < 0.2) {
          targets.weight[p]! *= 0.5;
          continue;
        }
        const x = draft.xy[2 * p]!;
        const y = draft.xy[2 * p + 1]!;
        const t = tangentAt(end, x, y);
        // along the point's own normal to the arc's tangent
        const nx = normal.nx[p]!;
        const ny = normal.ny[p]!;
        const across = nx * t.dy - ny * t.dx;
        if (Math.abs(across) < 0.3) continue;
        const offset = ((t.px - x) * t.dy - (t.py - y) * t.dx) / across;
        targets.offsetMm[p] = Math.max(-4, Math.min(4, offset));
        targets.weight[p] = 0.15 * trust;
      }
    }
  }
}
