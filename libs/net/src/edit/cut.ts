/** Cutting leads, erasing them, and mending the joints that are left between two ends. */
import type { DoubtfulPlace, XyMm } from '../net.js';
import { NetError } from '../net-error.js';
import { distanceMm, pointAlongMm, polylineLengthMm, toMicron } from '../ring.js';
import {
  changed,
  type Drawing,
  type DrawnLead,
  endsAt,
  jointOf,
  type LeadEnd,
  leadOf,
  madeId,
} from './drawing.js';
import { cutLine, nearestOnLine } from './lead-shape.js';

/** Nearer to an end than this there is a joint already. */
const SAME_JOINT_MM = 0.5;
/** Widths that differ by less are one came (trade sizes lie 0.79 mm, 1/32 in, apart). */
const SAME_WIDTH_MM = 0.8;

/** Puts a joint on a lead; gives the joint that is there when one is nearer than 0.5 mm. */
export function splitLead(
  drawing: Drawing,
  leadId: string,
  alongMm: number,
): { drawing: Drawing; jointId: string } {
  const lead = leadOf(drawing, leadId);
  const lengthMm = polylineLengthMm(lead.lineMm);
  if (alongMm < SAME_JOINT_MM) return { drawing, jointId: lead.from };
  if (alongMm > lengthMm - SAME_JOINT_MM) return { drawing, jointId: lead.to };
  const [before, after] = cutLine(lead.lineMm, alongMm);
  const jointId = madeId('J', drawing.made + 1);
  const restId = madeId('L', drawing.made + 2);
  const places = [...drawing.places]
    .filter(([, place]) => place.leadId === leadId)
    .filter(([, { xyMm }]) => offMm(after, xyMm) < offMm(before, xyMm))
    .map(([id, place]): [string, DoubtfulPlace] => [id, { ...place, leadId: restId }]);
  return {
    jointId,
    drawing: changed(drawing, {
      joints: [[jointId, after[0]!]],
      leads: [
        [leadId, { ...lead, to: jointId, lineMm: before }],
        [restId, { ...lead, from: jointId, lineMm: after }],
      ],
      places,
      made: drawing.made + 2,
    }),
  };
}

const offMm = (line: readonly XyMm[], xyMm: XyMm) => nearestOnLine(line, xyMm).offMm;

/**
 * Takes leads away, and with them what was doubtful about them. A joint that is left between two ends
 * of one kind of came disappears into the one lead that they are then.
 */
export function eraseLeads(drawing: Drawing, leadIds: Iterable<string>): Drawing {
  const ids = new Set(leadIds);
  const touched = new Set<string>();
  for (const id of ids) {
    const lead = leadOf(drawing, id);
    touched.add(lead.from).add(lead.to);
  }
  const without = changed(drawing, {
    leads: [...ids].map((id) => [id, null]),
    places: [...drawing.places].flatMap(([id, place]): [string, null][] =>
      place.leadId !== null && ids.has(place.leadId) ? [[id, null]] : [],
    ),
  });
  return mendJoints(without, touched);
}

/** Drops joints that no lead reaches, heals those between two ends that belong together. */
export function mendJoints(drawing: Drawing, jointIds: Iterable<string>): Drawing {
  let next = drawing;
  for (const jointId of jointIds) {
    const ends = endsAt(next, jointId);
    if (ends.length === 0) next = changed(next, { joints: [[jointId, null]] });
    else if (ends.length === 2 && belongTogether(ends[0]!, ends[1]!)) next = joined(next, jointId);
  }
  return next;
}

/**
 * Makes one lead of the two that meet at a joint, by a person's word even where width differs.
 *
 * @throws {NetError} `bad-edit` when not exactly two different leads meet there
 */
export function healJoint(drawing: Drawing, jointId: string): Drawing {
  const at = jointOf(drawing, jointId);
  const ends = endsAt(drawing, jointId);
  if (ends.length !== 2) {
    throw new NetError(
      'bad-edit',
      ends.length > 2
        ? `${ends.length} leads meet at this joint: erase a lead, not the joint`
        : 'only one lead ends at this joint: erase the lead, or join it to another',
      at,
    );
  }
  if (ends[0]!.leadId === ends[1]!.leadId || far(ends[0]!) === far(ends[1]!)) {
    throw new NetError('bad-edit', 'this joint closes a round of lead and has to stay', at);
  }
  return joined(drawing, jointId);
}

const far = ({ lead, end }: LeadEnd) => (end === 'from' ? lead.to : lead.from);

function belongTogether(a: LeadEnd, b: LeadEnd): boolean {
  return (
    a.leadId !== b.leadId &&
    far(a) !== far(b) &&
    a.lead.kind === b.lead.kind &&
    a.lead.profile === b.lead.profile &&
    Math.abs(a.lead.faceWidthMm - b.lead.faceWidthMm) < SAME_WIDTH_MM
  );
}

function joined(drawing: Drawing, jointId: string): Drawing {
  const [a, b] = endsAt(drawing, jointId) as [LeadEnd, LeadEnd];
  const arriving = a.end === 'to' ? a.lead.lineMm : a.lead.lineMm.toReversed();
  const leaving = b.end === 'from' ? b.lead.lineMm : b.lead.lineMm.toReversed();
  const lengthA = polylineLengthMm(arriving);
  const lengthB = polylineLengthMm(leaving);
  const share = lengthA / Math.max(1e-9, lengthA + lengthB);
  const mean = (of: (lead: DrawnLead) => number) =>
    toMicron(of(a.lead) * share + of(b.lead) * (1 - share));
  const one: DrawnLead = {
    ...a.lead,
    from: far(a),
    to: far(b),
    lineMm: withoutNeedlessPoint(arriving, leaving),
    faceWidthMm: mean((lead) => lead.faceWidthMm),
    widthSpreadMm: Math.max(a.lead.widthSpreadMm, b.lead.widthSpreadMm),
    confidenceP: Math.min(a.lead.confidenceP, b.lead.confidenceP),
    doubts: [...new Set([...a.lead.doubts, ...b.lead.doubts])],
    profile: a.lead.profile ?? b.lead.profile,
  };
  return changed(drawing, {
    joints: [[jointId, null]],
    leads: [
      [a.leadId, one],
      [b.leadId, null],
    ],
    places: [...drawing.places].flatMap(([id, place]): [string, DoubtfulPlace][] =>
      place.leadId === b.leadId ? [[id, { ...place, leadId: a.leadId }]] : [],
    ),
  });
}

/** Cutting a lead and healing it again leaves no trace: the place of the cut goes when it is straight there. */
function withoutNeedlessPoint(arriving: readonly XyMm[], leaving: readonly XyMm[]): XyMm[] {
  const at = leaving[0]!;
  const before = arriving[arriving.length - 2]!;
  const after = leaving[1]!;
  const chord = nearestOnLine([before, after], at);
  const needless = chord.offMm < 0.002 && distanceMm(before, after) > 0;
  return [...arriving.slice(0, -1), ...(needless ? [] : [at]), ...leaving.slice(1)];
}

/** The lead nearest to a place, and where on it; among `takes` only. */
export function leadNear(
  drawing: Drawing,
  xyMm: XyMm,
  reachMm: number,
  takes: (leadId: string) => boolean = () => true,
): { leadId: string; alongMm: number; xyMm: XyMm; offMm: number } | null {
  let best: { leadId: string; alongMm: number; xyMm: XyMm; offMm: number } | null = null;
  for (const [leadId, lead] of drawing.leads) {
    if (!takes(leadId)) continue;
    const found = nearestOnLine(lead.lineMm, xyMm);
    if (found.offMm <= (best?.offMm ?? reachMm)) best = { leadId, ...found };
  }
  return best;
}

/** A point halfway along a lead. */
export function middleOf(lead: Pick<DrawnLead, 'lineMm'>): XyMm {
  return pointAlongMm(lead.lineMm, polylineLengthMm(lead.lineMm) / 2);
}
