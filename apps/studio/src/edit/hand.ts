/** What the hand does to a drawing between pressing and letting go: each drag as a pure step. */
import {
  bendLead,
  type Drawing,
  endsAt,
  moveJoints,
  nearestOnLine,
  placeJoints,
  pointAlongMm,
  type Snapper,
  slideJoint,
  snapper,
  type Target,
  trackOf,
  weldJoint,
  weldToLead,
} from '#libs/net';
import type { Xy } from '../drawing/plane.js';
import { say } from '../platform/language/say.js';
import { sayPart } from '../platform/say-part.js';

export interface Chosen {
  readonly leads: ReadonlySet<string>;
  readonly joints: ReadonlySet<string>;
}

/** The paper about what the hand does: a key leads there, Escape back. */
export const handPaperId = 'hand-paper';

export const nothingChosen: Chosen = { leads: new Set(), joints: new Set() };

/** What lies under the pointer. */
export type Held =
  | { readonly is: 'joint'; readonly jointId: string }
  | { readonly is: 'lead'; readonly leadId: string; readonly alongMm: number };

/** A drag: what it shows at every place of the hand, and what it does when it is let go there. */
export interface Drag {
  readonly name: string;
  /** where the thing held is at first */
  readonly fromMm: Xy;
  readonly at: (toMm: Xy, reachMm: number) => { drawing: Drawing; snap: Target | null };
  readonly drop: (toMm: Xy, reachMm: number) => Drawing;
}

/** A joint stays on the lead that runs through it until it is pulled off by more than this. */
const slideMm = 2.5;

export function beginDrag(drawing: Drawing, held: Held, chosen: Chosen): Drag {
  const many = manyHeld(drawing, held, chosen);
  if (many !== null) return dragMany(drawing, many, placeOf(drawing, held));
  return held.is === 'joint'
    ? dragJoint(drawing, held.jointId)
    : dragBend(drawing, held.leadId, held.alongMm);
}

function placeOf(drawing: Drawing, held: Held): Xy {
  if (held.is === 'joint') return drawing.joints.get(held.jointId)!;
  const { lineMm } = drawing.leads.get(held.leadId)!;
  return pointAlongMm(lineMm, held.alongMm);
}

/** Joints that go along when several things are chosen and one of them is held. */
function manyHeld(drawing: Drawing, held: Held, chosen: Chosen): ReadonlySet<string> | null {
  if (chosen.leads.size + chosen.joints.size < 2) return null;
  const isHeld =
    held.is === 'joint' ? chosen.joints.has(held.jointId) : chosen.leads.has(held.leadId);
  return isHeld ? jointsOf(drawing, chosen) : null;
}

/** Every joint that is chosen itself or by a lead that ends there. */
export function jointsOf(drawing: Drawing, chosen: Chosen): Set<string> {
  const joints = new Set([...chosen.joints].filter((id) => drawing.joints.has(id)));
  for (const id of chosen.leads) {
    const lead = drawing.leads.get(id);
    if (lead) joints.add(lead.from).add(lead.to);
  }
  return joints;
}

function dragMany(drawing: Drawing, joints: ReadonlySet<string>, fromMm: Xy): Drag {
  const moved = ([x, y]: Xy) => moveJoints(drawing, joints, [x - fromMm[0], y - fromMm[1]]);
  return {
    name: say('move {size} joints', { size: joints.size }),
    fromMm,
    at: (toMm) => ({ drawing: moved(toMm), snap: null }),
    drop: moved,
  };
}

function dragBend(drawing: Drawing, leadId: string, alongMm: number): Drag {
  const bent = (toMm: Xy) => bendLead(drawing, leadId, alongMm, toMm);
  return {
    name: say('bend {sayPart}', { sayPart: sayPart('lead', leadId) }),
    fromMm: pointAlongMm(drawing.leads.get(leadId)!.lineMm, alongMm),
    at: (toMm) => ({ drawing: bent(toMm), snap: null }),
    drop: bent,
  };
}

function dragJoint(drawing: Drawing, jointId: string): Drag {
  const own = new Set(endsAt(drawing, jointId).map(({ leadId }) => leadId));
  const others: Snapper = snapper(drawing, {
    withoutJoints: new Set([jointId]),
    withoutLeads: own,
  });
  const track = trackOf(drawing, jointId)?.lineMm ?? null;
  const slid = (toMm: Xy, reachMm: number): { drawing: Drawing; snap: Target } | null => {
    if (track === null || reachMm === 0) return null;
    if (nearestOnLine(track, toMm).offMm > Math.min(reachMm, slideMm)) return null;
    const next = slideJoint(drawing, jointId, toMm);
    if (next === null) return null;
    const xyMm = next.joints.get(jointId)!;
    return { drawing: next, snap: { on: 'lead', leadId: '', alongMm: 0, xyMm } };
  };
  const target = (toMm: Xy, reachMm: number): Target =>
    reachMm === 0 ? { on: 'nothing', xyMm: toMm } : others.snap(toMm, reachMm);
  const at: Drag['at'] = (toMm, reachMm) => {
    const snap = target(toMm, reachMm);
    return (
      (snap.on === 'nothing' ? slid(toMm, reachMm) : null) ?? {
        drawing: placeJoints(drawing, new Map([[jointId, snap.xyMm]])),
        snap,
      }
    );
  };
  return {
    name: say('move a joint'),
    fromMm: drawing.joints.get(jointId)!,
    at,
    drop: (toMm, reachMm) => {
      const snap = target(toMm, reachMm);
      if (snap.on === 'joint') return weldJoint(drawing, jointId, snap.jointId);
      if (snap.on === 'lead') return weldToLead(drawing, jointId, snap.leadId, snap.alongMm);
      return at(toMm, reachMm).drawing;
    },
  };
}

/** Leads that are not the same object in both: those that a drag moved. */
export function changedLeads(before: Drawing, after: Drawing): Set<string> {
  const ids = new Set<string>();
  for (const [id, lead] of after.leads) if (before.leads.get(id) !== lead) ids.add(id);
  return ids;
}

/** Leads that lie wholly within a box, and the joints of none. */
export function leadsWithin(
  drawing: Drawing,
  [[ax, ay], [bx, by]]: readonly [Xy, Xy],
): Set<string> {
  const [minX, maxX] = [Math.min(ax, bx), Math.max(ax, bx)];
  const [minY, maxY] = [Math.min(ay, by), Math.max(ay, by)];
  const ids = new Set<string>();
  for (const [id, { lineMm }] of drawing.leads) {
    const inside = lineMm.every(([x, y]) => x >= minX && x <= maxX && y >= minY && y <= maxY);
    if (inside) ids.add(id);
  }
  return ids;
}

/** What was chosen, and every lead that lies wholly in the box. */
export const chosenInBox = (
  drawing: Drawing,
  { leads, joints }: Chosen,
  box: readonly [Xy, Xy],
): Chosen => ({ leads: new Set([...leads, ...leadsWithin(drawing, box)]), joints });

/** What is chosen after a tap. @param adds whether it adds to what was chosen, or takes from it */
export function chosenWith(chosen: Chosen, held: Held | null, adds: boolean): Chosen {
  if (!held) return adds ? chosen : nothingChosen;
  const leads = new Set(adds ? chosen.leads : []);
  const joints = new Set(adds ? chosen.joints : []);
  const [set, id] = held.is === 'joint' ? [joints, held.jointId] : [leads, held.leadId];
  if (adds && set.has(id)) set.delete(id);
  else set.add(id);
  return { leads, joints };
}
