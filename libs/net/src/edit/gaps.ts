/** Open ends of leads, where each most likely goes on, and joining them. */
import type { XyMm } from '../net.js';
import { NetError } from '../net-error.js';
import { distanceMm } from '../ring.js';
import { addLine, type Target } from './add-lead.js';
import { mendJoints } from './cut.js';
import { changed, type Drawing, type DrawnLead, endsAt, jointOf } from './drawing.js';
import { curveAcross, leavingDirection } from './lead-shape.js';

export interface OpenEnd {
  readonly jointId: string;
  readonly leadId: string;
  readonly xyMm: XyMm;
  /** Unit vector in which the lead would go on. */
  readonly onwards: XyMm;
  /** Left open on purpose: drawn as a broken lead. */
  readonly isBroken: boolean;
}

/** Wax is rarely lost over a longer stretch than this; 60 mm (ours). */
const REACH_MM = 60;
/** Ends that look away from each other by more than this do not belong together. */
const LOOKS_AT_COS = Math.cos((50 * Math.PI) / 180);

/** Every end of a lead that touches no other; straps lie on a face and may end anywhere. */
export function openEnds(drawing: Drawing): OpenEnd[] {
  const count = new Map<string, number>();
  for (const { from, to } of drawing.leads.values()) {
    for (const id of [from, to]) count.set(id, (count.get(id) ?? 0) + 1);
  }
  const open: OpenEnd[] = [];
  for (const [leadId, lead] of drawing.leads) {
    if (lead.kind === 'strap') continue;
    for (const end of ['from', 'to'] as const) {
      if (count.get(lead[end]) !== 1) continue;
      const outwards = leavingDirection(end === 'from' ? lead.lineMm : lead.lineMm.toReversed());
      open.push({
        jointId: lead[end],
        leadId,
        xyMm: drawing.joints.get(lead[end])!,
        onwards: [-outwards[0], -outwards[1]],
        isBroken: lead.kind === 'broken',
      });
    }
  }
  return open;
}

/**
 * Where an open end most likely goes on: another open end that looks back at it, or else what the lead
 * would hit when it ran straight on. Null when nothing is within 60 mm.
 */
export function likelyJoin(drawing: Drawing, jointId: string): Target | null {
  const ends = openEnds(drawing);
  const end = ends.find((one) => one.jointId === jointId);
  if (end === undefined) return null;
  let best: { target: Target; cost: number } | null = null;
  const offer = (target: Target, cost: number) => {
    if (best === null || cost < best.cost) best = { target, cost };
  };
  for (const other of ends) {
    const gap = distanceMm(end.xyMm, other.xyMm);
    if (other.leadId === end.leadId || gap > REACH_MM || gap === 0) continue;
    const ahead = look(end, other.xyMm);
    const back = look(other, end.xyMm);
    if (ahead < LOOKS_AT_COS || back < LOOKS_AT_COS) continue;
    offer({ on: 'joint', jointId: other.jointId, xyMm: other.xyMm }, gap * (3 - ahead - back));
  }
  for (const [leadId, { lineMm }] of drawing.leads) {
    if (leadId === end.leadId) continue;
    let along = 0;
    for (let i = 1; i < lineMm.length; i++) {
      const hit = rayHit(end.xyMm, end.onwards, lineMm[i - 1]!, lineMm[i]!);
      if (hit !== null && hit.farMm <= REACH_MM) {
        const alongMm = along + distanceMm(lineMm[i - 1]!, hit.xyMm);
        offer({ on: 'lead', leadId, alongMm, xyMm: hit.xyMm }, hit.farMm * 1.5);
      }
      along += distanceMm(lineMm[i - 1]!, lineMm[i]!);
    }
  }
  return (best as { target: Target } | null)?.target ?? null;
}

function look(end: OpenEnd, at: XyMm): number {
  const gap = distanceMm(end.xyMm, at);
  return (end.onwards[0] * (at[0] - end.xyMm[0]) + end.onwards[1] * (at[1] - end.xyMm[1])) / gap;
}

function rayHit(from: XyMm, along: XyMm, c: XyMm, d: XyMm): { farMm: number; xyMm: XyMm } | null {
  const det = along[0] * (d[1] - c[1]) - along[1] * (d[0] - c[0]);
  if (det === 0) return null;
  const farMm = ((c[0] - from[0]) * (d[1] - c[1]) - (c[1] - from[1]) * (d[0] - c[0])) / det;
  const u = ((c[0] - from[0]) * along[1] - (c[1] - from[1]) * along[0]) / det;
  if (farMm <= 1e-6 || u < 0 || u > 1) return null;
  return { farMm, xyMm: [from[0] + along[0] * farMm, from[1] + along[1] * farMm] };
}

/**
 * Carries a lead on from its open end to a target, smoothly, in its own width. Two open ends become
 * one lead.
 *
 * @throws {NetError} `bad-edit` when the joint is no open end
 */
export function joinGap(drawing: Drawing, jointId: string, target: Target): Drawing {
  const end = openEnds(drawing).find((one) => one.jointId === jointId);
  if (end === undefined) {
    throw new NetError('bad-edit', 'no lead ends openly here', jointOf(drawing, jointId));
  }
  const other =
    target.on === 'joint'
      ? openEnds(drawing).find((one) => one.jointId === target.jointId)
      : undefined;
  const unbroken = mendBroken(drawing, [end, ...(other === undefined ? [] : [other])]);
  const lead = unbroken.leads.get(end.leadId)!;
  const { drawing: added } = addLine(
    unbroken,
    { on: 'joint', jointId, xyMm: end.xyMm },
    target,
    curveAcross(end.xyMm, end.onwards, target.xyMm, other?.onwards ?? null),
    lead,
  );
  return mendJoints(added, [jointId, ...(other === undefined ? [] : [other.jointId])]);
}

/** A broken lead that goes on is a came again, unless its other end is open too. */
function mendBroken(drawing: Drawing, ends: readonly OpenEnd[]): Drawing {
  const joining = new Set(ends.map((one) => one.jointId));
  const leads = ends.flatMap(({ leadId }): [string, DrawnLead][] => {
    const lead = drawing.leads.get(leadId)!;
    const stillOpen = [lead.from, lead.to].some(
      (id) => !joining.has(id) && endsAt(drawing, id).length === 1,
    );
    return lead.kind === 'broken' && !stillOpen ? [[leadId, { ...lead, kind: 'came' }]] : [];
  });
  return changed(drawing, { leads });
}
