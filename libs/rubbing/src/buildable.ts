/** The last word on a draft before it becomes a sketch: what the net would refuse is taken out, and said. */
import {
  distanceToSegmentMm,
  type NetSketch,
  pointsOfFlat,
  sketchFault,
  type XyMm,
} from '#libs/net';
import { type Draft, type DraftLead, lineOf } from './draft.js';
import { withoutBridges } from './draft-faces.js';
import { rebuild } from './junctions.js';

/** A draft of hundreds of leads that fails more often than this is no drawing. */
const MOST_FAULTS = 20;

/**
 * Leads that still meet without a joint, or lie on each other, are two drawings of one place: the less certain one goes.
 * @param certainty per lead; the smaller one gives way
 * @returns the draft, and the places where a lead was taken out
 */
export function buildable(
  draft: Draft,
  certainty: (lead: DraftLead) => number,
): { draft: Draft; placesMm: XyMm[] } {
  const placesMm: XyMm[] = [];
  let now = draft;
  while (placesMm.length < MOST_FAULTS) {
    const at = sketchFault(bareSketch(now))?.xyMm;
    if (!at) break;
    const [a, b] = now.leads
      .map((lead) => ({ lead, offMm: distanceMm(lineOf(now, lead), at) }))
      .sort((p, q) => p.offMm - q.offMm);
    if (!a || !b) break;
    const weaker = certainty(a.lead) < certainty(b.lead) ? a.lead : b.lead;
    now = withoutBridges(rebuild(now, new Set([weaker]), (k) => k));
    placesMm.push(at);
  }
  return { draft: now, placesMm };
}

function bareSketch(draft: Draft): NetSketch {
  return {
    nodes: pointsOfFlat(draft.xy.subarray(0, 2 * draft.nodeCount)).map((xyMm) => ({ xyMm })),
    leads: draft.leads.map((lead) => ({
      from: lead.from,
      to: lead.to,
      kind: 'came',
      lineMm: pointsOfFlat(lineOf(draft, lead)),
      faceWidthMm: lead.faceWidthMm,
      widthSpreadMm: 0,
      confidenceP: 1,
      doubts: [],
    })),
  };
}

function distanceMm(line: Float64Array, at: XyMm): number {
  const points = pointsOfFlat(line);
  let least = Infinity;
  for (let k = 1; k < points.length; k++) {
    least = Math.min(least, distanceToSegmentMm(at, points[k - 1]!, points[k]!));
  }
  return least;
}
