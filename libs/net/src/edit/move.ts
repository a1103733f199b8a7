/** Moving joints and leads; what hangs on them follows. */
import type { XyMm } from '../net.js';
import { NetError } from '../net-error.js';
import { distanceMm, pointAlongMm, polylineLengthMm, roundXy } from '../ring.js';
import { mendJoints, splitLead } from './cut.js';
import {
  changed,
  type Drawing,
  type DrawnLead,
  endsAt,
  jointOf,
  type LeadEnd,
  leadOf,
} from './drawing.js';
import {
  bendLine,
  carryEnds,
  cutLine,
  isStraight,
  leavingDirection,
  nearestOnLine,
} from './lead-shape.js';

/** Two leads are one line through a joint when they turn there by less than this. */
const RUNS_THROUGH_RAD = (12 * Math.PI) / 180;
/** A joint may be slid along two leads that turn by less than this. */
const SLIDES_RAD = (35 * Math.PI) / 180;
/** A lead between two joints that were welded, no longer than this, is gone with them. */
const SHORT_MM = 1.5;
/** A slid joint stops this far from the next one. */
const STOP_MM = 1;

/** Moves joints by one step; every lead that ends there is carried along. */
export function moveJoints(drawing: Drawing, jointIds: Iterable<string>, byMm: XyMm): Drawing {
  const to = new Map<string, XyMm>();
  for (const id of jointIds) {
    const [x, y] = jointOf(drawing, id);
    to.set(id, roundXy([x + byMm[0], y + byMm[1]]));
  }
  return placeJoints(drawing, to);
}

/** Moves leads as they are, with their joints. */
export function moveLeads(drawing: Drawing, leadIds: Iterable<string>, byMm: XyMm): Drawing {
  const joints = new Set<string>();
  for (const id of leadIds) {
    const lead = leadOf(drawing, id);
    joints.add(lead.from).add(lead.to);
  }
  return moveJoints(drawing, joints, byMm);
}

/** Sets joints to places; every lead that ends at one is carried along. */
export function placeJoints(drawing: Drawing, to: ReadonlyMap<string, XyMm>): Drawing {
  const through = new Set<string>();
  for (const jointId of to.keys()) {
    for (const pair of throughPairs(endsAt(drawing, jointId), RUNS_THROUGH_RAD)) {
      for (const { leadId } of pair) through.add(leadId);
    }
  }
  const leads: [string, DrawnLead][] = [];
  for (const [leadId, lead] of drawing.leads) {
    const from = to.get(lead.from);
    const end = to.get(lead.to);
    if (from === undefined && end === undefined) continue;
    const lineMm = carryEnds(
      lead.lineMm,
      step(lead.lineMm[0]!, from),
      step(lead.lineMm[lead.lineMm.length - 1]!, end),
      through.has(leadId),
    );
    if (from !== undefined) lineMm[0] = from;
    if (end !== undefined) lineMm[lineMm.length - 1] = end;
    leads.push([leadId, { ...lead, lineMm }]);
  }
  return changed(drawing, { joints: to, leads });
}

const step = (was: XyMm, is: XyMm | undefined): XyMm =>
  is === undefined ? [0, 0] : [is[0] - was[0], is[1] - was[1]];

/** Makes one joint of two: the first goes to the place of the second and everything with it. */
export function weldJoint(drawing: Drawing, jointId: string, ontoId: string): Drawing {
  if (jointId === ontoId) return drawing;
  const carried = placeJoints(drawing, new Map([[jointId, jointOf(drawing, ontoId)]]));
  const leads = endsAt(carried, jointId).map(({ leadId }): [string, DrawnLead | null] => {
    const lead = carried.leads.get(leadId)!;
    const one = {
      ...lead,
      from: lead.from === jointId ? ontoId : lead.from,
      to: lead.to === jointId ? ontoId : lead.to,
    };
    return [leadId, one.from === one.to && isShort(drawing, leadId) ? null : one];
  });
  const gone = new Set(leads.flatMap(([id, lead]) => (lead === null ? [id] : [])));
  return mendJoints(
    changed(carried, {
      joints: [[jointId, null]],
      leads,
      places: [...carried.places].flatMap(([id, place]): [string, null][] =>
        place.leadId !== null && gone.has(place.leadId) ? [[id, null]] : [],
      ),
    }),
    [ontoId],
  );
}

/** A straight lead whose ends fall together is nothing; a round one becomes a loop. */
function isShort(drawing: Drawing, leadId: string): boolean {
  const { lineMm } = leadOf(drawing, leadId);
  return isStraight(lineMm) || polylineLengthMm(lineMm) <= SHORT_MM;
}

/** Lets a joint go to a place on a lead: the lead gets its joint there, and the two are one. */
export function weldToLead(
  drawing: Drawing,
  jointId: string,
  leadId: string,
  alongMm: number,
): Drawing {
  if (endsAt(drawing, jointId).some((end) => end.leadId === leadId)) {
    throw new NetError(
      'bad-edit',
      'a lead cannot end on itself: slide the joint along it, or bend the lead',
      jointOf(drawing, jointId),
    );
  }
  const cut = splitLead(drawing, leadId, alongMm);
  return weldJoint(cut.drawing, jointId, cut.jointId);
}

/**
 * Slides a joint along the lead that runs through it, which keeps its shape; the other leads follow.
 * Gives null where no lead runs through.
 */
export function slideJoint(drawing: Drawing, jointId: string, toMm: XyMm): Drawing | null {
  const track = trackOf(drawing, jointId);
  if (track === null) return null;
  const { pair, lineMm } = track;
  const lengthMm = polylineLengthMm(lineMm);
  if (lengthMm < 2 * STOP_MM) return null;
  const along = Math.min(
    lengthMm - STOP_MM,
    Math.max(STOP_MM, nearestOnLine(lineMm, toMm).alongMm),
  );
  const [before, after] = cutLine(lineMm, along);
  const at = after[0]!;
  const [a, b] = pair;
  const others = endsAt(drawing, jointId).filter(
    ({ leadId }) => leadId !== a.leadId && leadId !== b.leadId,
  );
  const was = jointOf(drawing, jointId);
  return changed(drawing, {
    joints: [[jointId, at]],
    leads: [
      [a.leadId, { ...a.lead, lineMm: a.end === 'to' ? before : before.toReversed() }],
      [b.leadId, { ...b.lead, lineMm: b.end === 'from' ? after : after.toReversed() }],
      ...others.map(({ leadId, lead, end }): [string, DrawnLead] => {
        const byMm = step(was, at);
        const lineMm = carryEnds(
          lead.lineMm,
          end === 'from' ? byMm : [0, 0],
          end === 'to' ? byMm : [0, 0],
          false,
        );
        lineMm[end === 'from' ? 0 : lineMm.length - 1] = at;
        return [leadId, { ...lead, lineMm }];
      }),
    ],
  });
}

/** The line on which a joint can be slid: the two leads that run through it most evenly. */
export function trackOf(
  drawing: Drawing,
  jointId: string,
): { readonly pair: readonly [LeadEnd, LeadEnd]; readonly lineMm: readonly XyMm[] } | null {
  const pair = throughPairs(endsAt(drawing, jointId), SLIDES_RAD)[0];
  if (pair === undefined) return null;
  const [a, b] = pair;
  const arriving = a.end === 'to' ? a.lead.lineMm : a.lead.lineMm.toReversed();
  const leaving = b.end === 'from' ? b.lead.lineMm : b.lead.lineMm.toReversed();
  return { pair, lineMm: [...arriving, ...leaving.slice(1)] };
}

/** Pairs of different leads that go on in each other's direction, the straightest first. */
function throughPairs(ends: readonly LeadEnd[], withinRad: number): [LeadEnd, LeadEnd][] {
  const directions = ends.map(({ lead, end }) =>
    leavingDirection(end === 'from' ? lead.lineMm : lead.lineMm.toReversed()),
  );
  const pairs: { pair: [LeadEnd, LeadEnd]; turn: number }[] = [];
  for (let i = 0; i < ends.length; i++) {
    for (let j = i + 1; j < ends.length; j++) {
      if (ends[i]!.leadId === ends[j]!.leadId) continue;
      const dot = directions[i]![0] * directions[j]![0] + directions[i]![1] * directions[j]![1];
      const turn = Math.PI - Math.acos(Math.min(1, Math.max(-1, dot)));
      if (turn < withinRad) pairs.push({ pair: [ends[i]!, ends[j]!], turn });
    }
  }
  return pairs.sort((p, q) => p.turn - q.turn).map(({ pair }) => pair);
}

/** Pulls one place of a lead elsewhere; both its joints stay. @see bendLine */
export function bendLead(
  drawing: Drawing,
  leadId: string,
  alongMm: number,
  toMm: XyMm,
  reachMm = Infinity,
): Drawing {
  const lead = leadOf(drawing, leadId);
  const at = pointAlongMm(lead.lineMm, alongMm);
  const lineMm = bendLine(lead.lineMm, alongMm, [toMm[0] - at[0], toMm[1] - at[1]], reachMm);
  return changed(drawing, { leads: [[leadId, { ...lead, lineMm }]] });
}

/**
 * Straightens leads that follow each other; joints between them go onto the straight line, and the
 * leads that end there follow. Used to mend a side of the panel.
 *
 * @throws {NetError} `bad-edit` when they do not make one path
 */
export function straightenLeads(drawing: Drawing, leadIds: readonly string[]): Drawing {
  const path = pathOf(drawing, leadIds);
  const first = jointOf(drawing, path[0]!);
  const last = jointOf(drawing, path[path.length - 1]!);
  const chord = [first, last];
  const lengthMm = distanceMm(first, last);
  const to = new Map(
    path.slice(1, -1).map((jointId): [string, XyMm] => {
      const { alongMm } = nearestOnLine(chord, jointOf(drawing, jointId));
      return [jointId, roundXy(pointAlongMm(chord, Math.min(lengthMm, alongMm)))];
    }),
  );
  const carried = placeJoints(drawing, to);
  return changed(carried, {
    leads: leadIds.map((id): [string, DrawnLead] => {
      const lead = leadOf(carried, id);
      return [
        id,
        { ...lead, lineMm: [carried.joints.get(lead.from)!, carried.joints.get(lead.to)!] },
      ];
    }),
  });
}

/** Joints along a path of leads, in order. */
function pathOf(drawing: Drawing, leadIds: readonly string[]): string[] {
  const left = new Map(leadIds.map((id) => [id, leadOf(drawing, id)]));
  const count = new Map<string, number>();
  for (const { from, to } of left.values()) {
    for (const id of [from, to]) count.set(id, (count.get(id) ?? 0) + 1);
  }
  const ends = [...count].filter(([, n]) => n === 1).map(([id]) => id);
  const path = ends.length === 2 ? [ends[0]!] : [];
  for (let at = path[0]; at !== undefined; at = path[path.length - 1]) {
    const next = [...left].find(([, { from, to }]) => from === at || to === at);
    if (next === undefined) break;
    left.delete(next[0]);
    path.push(next[1].from === at ? next[1].to : next[1].from);
  }
  if (path.length < 2 || left.size > 0) {
    throw new NetError('bad-edit', 'choose leads that follow each other from one end to another');
  }
  return path;
}
