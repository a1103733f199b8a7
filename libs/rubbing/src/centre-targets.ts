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
  const { originMm, cellsPerMm } = evidence;
  for (const lead of draft.leads) {
    for (let k = 1; k <= lead.count; k++) {
      const p = pointOf(lead, k);
      const x = (draft.xy[2 * p]! - originMm[0]) * cellsPerMm;
      const y = (draft.xy[2 * p + 1]! - originMm[1]) * cellsPerMm;
      const { atMm, best } = centreAcross(evidence, x, y, nx[p]!, ny[p]!, reachMm);
      offsetMm[p] = atMm;
      weight[p] = best > 0.12 ? best * best : 0;
    }
  }
  const targets = { offsetMm, weight };
  easeAtJunctions(draft, ends, targets, normal);
  return targets;
}

const STEP_MM = 0.25;

/** The centroid across one point, and the strongest evidence there. */
function centreAcross(
  { centre, cellsPerMm }: LeadEvidence,
  x: number,
  y: number,
  nx: number,
  ny: number,
  reachMm: number,
): { atMm: number; best: number } {
  const steps = Math.round(reachMm / STEP_MM);
  let sum = 0;
  let moment = 0;
  let best = 0;
  for (let j = -steps; j <= steps; j++) {
    const o = j * STEP_MM;
    const c = bilinear(centre, x + nx * o * cellsPerMm, y + ny * o * cellsPerMm);
    const w = c * c * (1 - (o / (reachMm + STEP_MM)) ** 2);
    if (c > best) best = c;
    sum += w;
    moment += w * o;
  }
  return { atMm: sum > 1e-9 ? moment / sum : 0, best };
}
