/** What a place is pulled to: joints before leads, within a reach that the screen chooses. */
import Flatbush from 'flatbush';
import type { XyMm } from '../net.js';
import { distanceMm } from '../ring.js';
import type { Target } from './add-lead.js';
import type { Drawing } from './drawing.js';
import { nearestOnLine } from './lead-shape.js';

/** A free place is kept to this: nobody draws finer by hand. */
const FREE_STEP_MM = 0.1;

export interface Snapper {
  /** The joint within reach, or else the nearest place on a lead, or else the place itself. */
  readonly snap: (xyMm: XyMm, reachMm: number) => Target;
  readonly jointNear: (xyMm: XyMm, reachMm: number) => { jointId: string; xyMm: XyMm } | null;
  readonly leadNear: (
    xyMm: XyMm,
    reachMm: number,
  ) => { leadId: string; alongMm: number; xyMm: XyMm; offMm: number } | null;
}

export interface SnapOptions {
  /** Left out: what is being moved must not be pulled to itself. */
  readonly withoutJoints?: ReadonlySet<string>;
  readonly withoutLeads?: ReadonlySet<string>;
}

/** A spatial index over a drawing; made afresh when the drawing changes (about 5 ms for 700 leads). */
export function snapper(drawing: Drawing, options: SnapOptions = {}): Snapper {
  const joints = [...drawing.joints].filter(([id]) => !options.withoutJoints?.has(id));
  const leads = [...drawing.leads].filter(([id]) => !options.withoutLeads?.has(id));
  const jointIndex = new Flatbush(Math.max(1, joints.length));
  for (const [, [x, y]] of joints) jointIndex.add(x, y);
  if (joints.length === 0) jointIndex.add(Infinity, Infinity);
  jointIndex.finish();
  const leadIndex = new Flatbush(Math.max(1, leads.length));
  for (const [, { lineMm }] of leads) {
    let [minX, minY, maxX, maxY] = [Infinity, Infinity, -Infinity, -Infinity];
    for (const [x, y] of lineMm) {
      minX = Math.min(minX, x);
      minY = Math.min(minY, y);
      maxX = Math.max(maxX, x);
      maxY = Math.max(maxY, y);
    }
    leadIndex.add(minX, minY, maxX, maxY);
  }
  if (leads.length === 0) leadIndex.add(Infinity, Infinity);
  leadIndex.finish();

  const jointNear: Snapper['jointNear'] = ([x, y], reachMm) => {
    const at = jointIndex.neighbors(x, y, 1, reachMm)[0];
    const found = at === undefined ? undefined : joints[at];
    return found === undefined ? null : { jointId: found[0], xyMm: found[1] };
  };
  const leadNear: Snapper['leadNear'] = (xyMm, reachMm) => {
    const [x, y] = xyMm;
    let best: ReturnType<Snapper['leadNear']> = null;
    const near = leadIndex.search(x - reachMm, y - reachMm, x + reachMm, y + reachMm);
    for (const at of near) {
      const found = leads[at];
      if (found === undefined) continue;
      const place = nearestOnLine(found[1].lineMm, xyMm);
      if (place.offMm <= (best?.offMm ?? reachMm)) best = { leadId: found[0], ...place };
    }
    return best;
  };
  return {
    jointNear,
    leadNear,
    snap: (xyMm, reachMm) => {
      const joint = jointNear(xyMm, reachMm);
      const lead = leadNear(xyMm, reachMm);
      // A lead that is much nearer is what was meant, though its joint is within reach too.
      if (joint && !(lead && lead.offMm < 0.35 * distanceMm(joint.xyMm, xyMm) - 1)) {
        return { on: 'joint', ...joint };
      }
      if (lead) {
        return { on: 'lead', leadId: lead.leadId, alongMm: lead.alongMm, xyMm: lead.xyMm };
      }
      return { on: 'nothing', xyMm: [toStep(xyMm[0]), toStep(xyMm[1])] };
    },
  };
}

const toStep = (value: number) => Math.round(value / FREE_STEP_MM) / Math.round(1 / FREE_STEP_MM);
