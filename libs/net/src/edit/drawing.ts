/**
 * A lead drawing while a person edits it: joints, leads and open questions under ids that stay the
 * same for the session. It need not be a net yet; {@link judgeDrawing} says whether it is one.
 *
 * Every operation of this folder is pure: it takes a drawing, gives another one, and shares what it
 * did not touch, so that undo is keeping the old one. Lengths in mm, axes as in net.ts.
 */
import type {
  DoubtfulPlace,
  DoubtReason,
  LeadKind,
  Net,
  NetSketch,
  SketchLead,
  XyMm,
} from '../net.js';
import { NetError } from '../net-error.js';
import type { NumberOverride } from '../number-pieces.js';

export interface DrawnLead {
  /** Joint ids. */
  readonly from: string;
  readonly to: string;
  readonly kind: LeadKind;
  /** From joint to joint, both ends equal to their places. */
  readonly lineMm: readonly XyMm[];
  readonly faceWidthMm: number;
  readonly widthSpreadMm: number;
  readonly confidenceP: number;
  readonly doubts: readonly DoubtReason[];
  readonly profile: string | null;
}

export interface Drawing {
  readonly joints: ReadonlyMap<string, XyMm>;
  readonly leads: ReadonlyMap<string, DrawnLead>;
  /** Doubtful places that nobody has answered yet. */
  readonly places: ReadonlyMap<string, DoubtfulPlace>;
  /** A person's word on piece numbers. */
  readonly numbers: readonly NumberOverride[];
  /** How many ids were made in this session. */
  readonly made: number;
}

/** The drawing of a net, under the net's own ids. */
export function openDrawing(net: Net): Drawing {
  return {
    joints: new Map(net.joints.map(({ jointId, xyMm }) => [jointId, xyMm])),
    leads: new Map(
      net.leads.map((lead): [string, DrawnLead] => [
        lead.leadId,
        {
          from: lead.fromJointId,
          to: lead.toJointId,
          kind: lead.kind,
          lineMm: lead.lineMm,
          faceWidthMm: lead.faceWidthMm,
          widthSpreadMm: lead.widthSpreadMm,
          confidenceP: lead.confidenceP,
          doubts: lead.doubts,
          profile: lead.profile,
        },
      ]),
    ),
    places: new Map(net.doubtfulPlaces.map((place, i) => [`P${i + 1}`, place])),
    numbers: [],
    made: 0,
  };
}

/** What `buildNet` takes; `leadIndex` of a place is its lead's place in the sketch. */
export function sketchOfDrawing(drawing: Drawing): {
  readonly sketch: NetSketch;
  readonly doubtfulPlaces: readonly {
    readonly xyMm: XyMm;
    readonly radiusMm: number;
    readonly reason: DoubtReason;
    readonly leadIndex: number | null;
  }[];
} {
  const jointAt = new Map([...drawing.joints.keys()].map((id, i) => [id, i]));
  const leadAt = new Map([...drawing.leads.keys()].map((id, i) => [id, i]));
  const leads = [...drawing.leads.values()].map(
    (lead): SketchLead => ({ ...lead, from: jointAt.get(lead.from)!, to: jointAt.get(lead.to)! }),
  );
  return {
    sketch: { nodes: [...drawing.joints.values()].map((xyMm) => ({ xyMm })), leads },
    doubtfulPlaces: [...drawing.places.values()].map(({ leadId, ...place }) => ({
      ...place,
      leadIndex: leadId === null ? null : (leadAt.get(leadId) ?? null),
    })),
  };
}

/** @throws {NetError} `bad-edit` when the lead was erased meanwhile */
export function leadOf(drawing: Drawing, leadId: string): DrawnLead {
  const lead = drawing.leads.get(leadId);
  if (lead === undefined) throw new NetError('bad-edit', `lead ${leadId} is not there any more`);
  return lead;
}

/** @throws {NetError} `bad-edit` when the joint was erased meanwhile */
export function jointOf(drawing: Drawing, jointId: string): XyMm {
  const xyMm = drawing.joints.get(jointId);
  if (xyMm === undefined) throw new NetError('bad-edit', `joint ${jointId} is not there any more`);
  return xyMm;
}

export interface LeadEnd {
  readonly leadId: string;
  readonly lead: DrawnLead;
  readonly end: 'from' | 'to';
}

/** Every lead end at a joint; a lead that comes back to its joint is there twice. */
export function endsAt(drawing: Drawing, jointId: string): LeadEnd[] {
  const ends: LeadEnd[] = [];
  for (const [leadId, lead] of drawing.leads) {
    if (lead.from === jointId) ends.push({ leadId, lead, end: 'from' });
    if (lead.to === jointId) ends.push({ leadId, lead, end: 'to' });
  }
  return ends;
}

/** Changes of one operation, put into a drawing at once. `null` takes a thing away. */
export interface Change {
  readonly joints?: Iterable<readonly [string, XyMm | null]>;
  readonly leads?: Iterable<readonly [string, DrawnLead | null]>;
  readonly places?: Iterable<readonly [string, DoubtfulPlace | null]>;
  readonly made?: number;
}

export function changed(drawing: Drawing, change: Change): Drawing {
  return {
    joints: mapWith(drawing.joints, change.joints),
    leads: mapWith(drawing.leads, change.leads),
    places: mapWith(drawing.places, change.places),
    numbers: drawing.numbers,
    made: change.made ?? drawing.made,
  };
}

function mapWith<T>(
  map: ReadonlyMap<string, T>,
  changes: Iterable<readonly [string, T | null]> | undefined,
): ReadonlyMap<string, T> {
  if (changes === undefined) return map;
  const next = new Map(map);
  for (const [id, value] of changes) {
    if (value === null) next.delete(id);
    else next.set(id, value);
  }
  return next;
}

/** An id that no net gives, so that it cannot be mixed up with a numbered joint or lead. */
export function madeId(letter: 'J' | 'L', count: number): string {
  return `${letter}+${count}`;
}
