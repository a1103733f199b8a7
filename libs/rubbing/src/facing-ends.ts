/** Leads that end facing each other across a piece, with a breath of evidence between: one lead that took no wax. */
import type { DoubtfulPlace, XyMm } from '#libs/net';
import { bilinear } from '#libs/raster';
import { type Draft, type DraftLead, lengthOf, lineOf, pointOf } from './draft.js';
import type { LeadEvidence } from './lead-evidence.js';
import { SegmentBins } from './segment-bins.js';

/** Of 28 pairs of ends on tuning rubbings the one with a lead between had 0.075, the others 0.004 at most. */
const LEAST_EVIDENCE = 0.03;
/** The network's centre line is looked for so far beside the straight line. */
const ASIDE_MM = 1.5;
const LEAST_GAP_MM = 12;
const MOST_GAP_MM = 140;
/** Either lead points at the other's end within 10°. */
const FACING_COSINE = 0.985;
/** A lead that goes on within 32° beyond its joint does not end there. */
const ONWARD_COSINE = 0.85;
/** Left out at either end: the joint's own evidence. */
const JOINT_MM = 4;
/** A circle larger than this shows nobody where to look. */
const MOST_RADIUS_MM = 15;

interface End {
  readonly xyMm: XyMm;
  /** Where the lead would go on to, unit vector. */
  readonly dx: number;
  readonly dy: number;
}

export function facingPlaces(draft: Draft, evidence: LeadEvidence): DoubtfulPlace[] {
  const ends = endsOf(draft);
  const bins = new SegmentBins();
  draft.leads.forEach((lead, i) => {
    bins.add(i, lineOf(draft, lead));
  });
  const out: DoubtfulPlace[] = [];
  ends.forEach((a, i) => {
    for (const b of ends.slice(0, i)) {
      const [ax, ay] = a.xyMm;
      const [bx, by] = b.xyMm;
      const gapMm = Math.hypot(bx - ax, by - ay);
      if (gapMm < LEAST_GAP_MM || gapMm > MOST_GAP_MM) continue;
      const ux = (bx - ax) / gapMm;
      const uy = (by - ay) / gapMm;
      if (ux * a.dx + uy * a.dy < FACING_COSINE || ux * b.dx + uy * b.dy > -FACING_COSINE) continue;
      if (meanEvidence(evidence, ax, ay, ux, uy, gapMm) < LEAST_EVIDENCE) continue;
      const inner = { x0: ax + 3 * ux, y0: ay + 3 * uy, x1: bx - 3 * ux, y1: by - 3 * uy };
      if (bins.firstHit(inner, () => true)) continue;
      out.push({
        xyMm: [(ax + bx) / 2, (ay + by) / 2],
        radiusMm: Math.min(MOST_RADIUS_MM, gapMm / 2),
        reason: 'may-be-missing',
        leadId: null,
      });
    }
  });
  return out;
}

/** Ends of leads at joints of three and more at which nothing takes the lead up on the other side. */
function endsOf(draft: Draft): End[] {
  const arms: { dx: number; dy: number }[][] = Array.from({ length: draft.nodeCount }, () => []);
  for (const lead of draft.leads) {
    const spacingMm = lengthOf(draft, lead) / (lead.count + 1);
    arms[lead.from]!.push(away(draft, lead, true, spacingMm));
    arms[lead.to]!.push(away(draft, lead, false, spacingMm));
  }
  return arms.flatMap((list, node) => {
    if (list.length < 3) return [];
    const xyMm: XyMm = [draft.xy[2 * node]!, draft.xy[2 * node + 1]!];
    return list
      .filter((a) => list.every((b) => a.dx * b.dx + a.dy * b.dy > -ONWARD_COSINE))
      .map((a): End => ({ xyMm, dx: -a.dx, dy: -a.dy }));
  });
}

/** Direction of a lead away from its node, from 3 mm out to 14 mm or its far end. */
function away(
  draft: Draft,
  lead: DraftLead,
  atFrom: boolean,
  spacingMm: number,
): { dx: number; dy: number } {
  const last = lead.count + 1;
  const near = Math.min(last - 1, Math.round(3 / spacingMm));
  const far = Math.min(last, Math.max(near + 1, Math.round(14 / spacingMm)));
  const [p, q] = [near, far].map((k) => pointOf(lead, atFrom ? k : last - k)) as [number, number];
  const dx = draft.xy[2 * q]! - draft.xy[2 * p]!;
  const dy = draft.xy[2 * q + 1]! - draft.xy[2 * p + 1]!;
  const length = Math.max(1e-9, Math.hypot(dx, dy));
  return { dx: dx / length, dy: dy / length };
}

/** Mean over the gap of the strongest centre line within `ASIDE_MM`. */
function meanEvidence(
  { centre, originMm, cellsPerMm }: LeadEvidence,
  x: number,
  y: number,
  ux: number,
  uy: number,
  gapMm: number,
): number {
  let sum = 0;
  let count = 0;
  for (let s = JOINT_MM; s < gapMm - JOINT_MM; s++) {
    let best = 0;
    for (let o = -ASIDE_MM; o <= ASIDE_MM; o += 0.5) {
      const u = (x + ux * s - uy * o - originMm[0]) * cellsPerMm;
      const v = (y + uy * s + ux * o - originMm[1]) * cellsPerMm;
      best = Math.max(best, bilinear(centre, u, v));
    }
    sum += best;
    count++;
  }
  return count === 0 ? 0 : sum / count;
}
