import { bilinear } from '#libs/raster';
import { type Draft, pointOf } from './draft.js';
import { easeAtJunctions, type LeadEnd } from './junction-ends.js';
import type { LeadEvidence } from './lead-evidence.js';
import { normals, type PointTargets } from './settle.js';

/**
 * Where the network's centre line lies across each point of the draft: centroid of the squared evidence within
 * `reachMm`, tapered towards the ends of the reach so that a neighbour's line does not pull.
 */
export function centreTargets(
  draft: Draft,
  evidence: LeadEvidence,
  reachMm: number,
  ends: readonly (readonly LeadEnd[])[],
): PointTargets {
  const n = draft.xy.length / 2;
  const offsetMm = new Float64Array(n);
  const weight = new Float64Array(n);
  const normal = normals(draft);
  const { nx, ny } = normal;
  const stepMm = 0.25;
  const steps = Math.round(reachMm / stepMm);
  for (const lead of draft.leads) {
    for (let k = 1; k <= lead.count; k++) {
      const p = pointOf(lead, k);
      let sum = 0;
      let moment = 0;
      let best = 0;
      for (let j = -steps; j <= steps; j++) {
        const o = j * stepMm;
        const x = (draft.xy[2 * p]! + nx[p]! * o - evidence.originMm[0]) * evidence.cellsPerMm;
        const y = (draft.xy[2 * p + 1]! + ny[p]! * o - evidence.originMm[1]) * evidence.cellsPerMm;
        const c = bilinear(evidence.centre, x, y);
        const w = c * c * (1 - (o / (reachMm + stepMm)) ** 2);
        if (c > best) best = c;
        sum += w;
        moment += w * o;
      }
      if (sum > 1e-9) offsetMm[p] = moment / sum;
      weight[p] = best > 0.12 ? best * best : 0;
    }
  }
  const targets = { offsetMm, weight };
  easeAtJunctions(draft, ends, targets, normal);
  return targets;
}
