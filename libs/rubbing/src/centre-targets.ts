import { bilinear } from '#libs/raster';
import { type Draft, lengthOf, pointOf } from './draft.js';
import type { LeadEvidence } from './lead-evidence.js';
import { normals, type PointTargets } from './settle.js';

/**
 * Where the network's centre line lies across each point of the draft: centroid of the squared evidence within
 * `reachMm`, tapered towards the ends of the reach so that a neighbour's line does not pull.
 */
export function centreTargets(draft: Draft, evidence: LeadEvidence, reachMm: number): PointTargets {
  const n = draft.xy.length / 2;
  const offsetMm = new Float64Array(n);
  const weight = new Float64Array(n);
  const { nx, ny } = normals(draft);
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
  easeAtJunctions(draft, weight, 0.2);
  return { offsetMm, weight };
}

/** Near a node the faces of other leads cover this one: its own evidence counts `factor` there. */
export function easeAtJunctions(draft: Draft, weight: Float64Array, factor: number): void {
  const faceAt = new Float64Array(draft.nodeCount);
  const degree = new Int32Array(draft.nodeCount);
  for (const lead of draft.leads) {
    for (const node of [lead.from, lead.to]) {
      faceAt[node] = Math.max(faceAt[node]!, lead.faceWidthMm);
      degree[node]!++;
    }
  }
  for (const lead of draft.leads) {
    const spacing = lengthOf(draft, lead) / (lead.count + 1);
    for (const [node, fromStart] of [
      [lead.from, true],
      [lead.to, false],
    ] as const) {
      if (degree[node]! < 3) continue;
      const reach = Math.min(0.55 * faceAt[node]! + 0.5, 0.4 * spacing * lead.count);
      for (let k = 1; k <= lead.count; k++) {
        if (k * spacing > reach) break;
        weight[pointOf(lead, fromStart ? k : lead.count + 1 - k)]! *= factor;
      }
    }
  }
}
