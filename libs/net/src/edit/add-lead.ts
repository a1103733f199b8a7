/** Drawing a lead: it is cut where it crosses others, and others are cut where it ends on them. */
import type { LeadKind, XyMm } from '../net.js';
import { NetError } from '../net-error.js';
import { distanceMm, polylineLengthMm, roundXy } from '../ring.js';
import { leadNear, splitLead } from './cut.js';
import { changed, type Drawing, type DrawnLead, jointOf, madeId } from './drawing.js';
import { curveThrough, cutLine, nearestOnLine } from './lead-shape.js';

/** Where an end of a lead is meant to be: on a joint, on a lead, or in the open. */
export type Target =
  | { readonly on: 'joint'; readonly jointId: string; readonly xyMm: XyMm }
  | {
      readonly on: 'lead';
      readonly leadId: string;
      readonly alongMm: number;
      readonly xyMm: XyMm;
    }
  | { readonly on: 'nothing'; readonly xyMm: XyMm };

export interface NewLead {
  readonly kind: LeadKind;
  readonly faceWidthMm: number;
  readonly profile?: string | null;
}

/** A crossing nearer than this to a joint is that joint. */
const SAME_JOINT_MM = 0.5;
const LEAST_LENGTH_MM = 1;

/**
 * Adds a lead that runs smoothly through the places given, from its first to its last. What it
 * crosses gets a joint there. Drawn by a person, it is sure.
 *
 * @throws {NetError} `bad-edit` when it has no length or no width
 */
export function addLead(
  drawing: Drawing,
  from: Target,
  to: Target,
  viaMm: readonly XyMm[],
  lead: NewLead,
): { drawing: Drawing; leadIds: readonly string[] } {
  return addLine(drawing, from, to, curveThrough([from.xyMm, ...viaMm, to.xyMm]), lead);
}

/** As {@link addLead}, along a line that is given. */
export function addLine(
  drawing: Drawing,
  from: Target,
  to: Target,
  lineMm: readonly XyMm[],
  { kind, faceWidthMm, profile = null }: NewLead,
): { drawing: Drawing; leadIds: readonly string[] } {
  if (!(faceWidthMm > 0)) {
    throw new NetError('bad-edit', 'a lead needs a face width in mm', from.xyMm);
  }
  const start = reach(drawing, from);
  const end = reach(start.drawing, to);
  if (start.jointId === end.jointId && polylineLengthMm(lineMm) < 4 * LEAST_LENGTH_MM) {
    throw new NetError('bad-edit', 'a lead needs two ends: choose another place for one', to.xyMm);
  }
  const line = lineMm.map(roundXy);
  line[0] = jointOf(end.drawing, start.jointId);
  line[line.length - 1] = jointOf(end.drawing, end.jointId);
  if (polylineLengthMm(line) < LEAST_LENGTH_MM) {
    throw new NetError(
      'bad-edit',
      `a lead shorter than ${LEAST_LENGTH_MM} mm cannot be made`,
      to.xyMm,
    );
  }
  let next = end.drawing;
  const stops: { alongMm: number; jointId: string }[] = [];
  for (const crossing of crossings(end.drawing, line)) {
    // An earlier crossing may have cut this lead: it is found again by its place.
    const near = leadNear(next, crossing.xyMm, SAME_JOINT_MM);
    if (near === null) continue;
    const cut = splitLead(next, near.leadId, near.alongMm);
    next = cut.drawing;
    const isEnd = cut.jointId === start.jointId || cut.jointId === end.jointId;
    if (!isEnd && stops.at(-1)?.jointId !== cut.jointId) {
      stops.push({ alongMm: crossing.alongMm, jointId: cut.jointId });
    }
  }
  const leadIds: string[] = [];
  const parts: [string, DrawnLead][] = [];
  let made = next.made;
  let rest: XyMm[] = line;
  let at = start.jointId;
  let along = 0;
  for (const stop of [...stops, { alongMm: Infinity, jointId: end.jointId }]) {
    const [part, after] =
      stop.alongMm === Infinity ? [rest, rest] : cutLine(rest, stop.alongMm - along);
    part[part.length - 1] = jointOf(next, stop.jointId);
    after[0] = stop.alongMm === Infinity ? after[0]! : jointOf(next, stop.jointId);
    const leadId = madeId('L', ++made);
    leadIds.push(leadId);
    parts.push([
      leadId,
      {
        from: at,
        to: stop.jointId,
        kind,
        lineMm: part,
        faceWidthMm,
        widthSpreadMm: 0,
        confidenceP: 1,
        doubts: [],
        profile,
      },
    ]);
    at = stop.jointId;
    along = stop.alongMm;
    rest = after;
  }
  return { drawing: changed(next, { leads: parts, made }), leadIds };
}

/** The joint at a target, made when there is none. */
export function reach(drawing: Drawing, target: Target): { drawing: Drawing; jointId: string } {
  if (target.on === 'joint') {
    jointOf(drawing, target.jointId);
    return { drawing, jointId: target.jointId };
  }
  if (target.on === 'lead') {
    // The lead may have been cut since the target was found: its place still says where.
    const near = leadNear(drawing, target.xyMm, SAME_JOINT_MM);
    if (near !== null) return splitLead(drawing, near.leadId, near.alongMm);
  }
  const jointId = madeId('J', drawing.made + 1);
  return {
    jointId,
    drawing: changed(drawing, {
      joints: [[jointId, roundXy(target.xyMm)]],
      made: drawing.made + 1,
    }),
  };
}

interface Crossing {
  readonly alongMm: number;
  readonly xyMm: XyMm;
}

/** Where a line crosses the leads of a drawing, from its start on; its own ends left out. */
function crossings(drawing: Drawing, line: readonly XyMm[]): Crossing[] {
  const found: Crossing[] = [];
  const lengthMm = polylineLengthMm(line);
  for (const lead of drawing.leads.values()) {
    let along = 0;
    for (let i = 1; i < line.length; i++) {
      const a = line[i - 1]!;
      const b = line[i]!;
      const length = distanceMm(a, b);
      for (let j = 1; j < lead.lineMm.length; j++) {
        const t = crossingShare(a, b, lead.lineMm[j - 1]!, lead.lineMm[j]!);
        if (t !== null) {
          const xyMm: XyMm = [a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])];
          found.push({ alongMm: along + t * length, xyMm });
        }
      }
      along += length;
    }
    // An end of the lead that lies on the new line is a crossing too, though nothing is crossed.
    for (const end of [lead.lineMm[0]!, lead.lineMm[lead.lineMm.length - 1]!]) {
      const { offMm, alongMm } = nearestOnLine(line, end);
      if (offMm < SAME_JOINT_MM) found.push({ alongMm, xyMm: end });
    }
  }
  return found
    .filter(({ alongMm }) => alongMm > SAME_JOINT_MM && alongMm < lengthMm - SAME_JOINT_MM)
    .sort((p, q) => p.alongMm - q.alongMm);
}

/** Share along a-b where it meets c-d, both taken with their ends; null when they do not meet. */
function crossingShare(a: XyMm, b: XyMm, c: XyMm, d: XyMm): number | null {
  const det = (b[0] - a[0]) * (d[1] - c[1]) - (b[1] - a[1]) * (d[0] - c[0]);
  if (det === 0) return null;
  const t = ((c[0] - a[0]) * (d[1] - c[1]) - (c[1] - a[1]) * (d[0] - c[0])) / det;
  const u = ((c[0] - a[0]) * (b[1] - a[1]) - (c[1] - a[1]) * (b[0] - a[0])) / det;
  return t >= 0 && t <= 1 && u >= 0 && u <= 1 ? t : null;
}
