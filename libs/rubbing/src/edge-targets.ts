import { type Draft, pointOf } from './draft.js';
import { easeAtJunctions, type LeadEnd } from './junction-ends.js';
import { type DensitySheet, edgeIn, leadProfiles } from './lead-profiles.js';
import { normals, type PointTargets } from './settle.js';

/**
 * Where the middle between both edges of the face lies across each point, from the wax itself: profiles averaged
 * over 5 mm along the lead, each edge by the centroid of its gradient, weight by the weaker edge's step.
 */
export function edgeTargets(
  draft: Draft,
  sheet: DensitySheet,
  ends: readonly (readonly LeadEnd[])[],
): PointTargets {
  const n = draft.xy.length / 2;
  const offsetMm = new Float64Array(n);
  const weight = new Float64Array(n);
  const normal = normals(draft);
  for (const lead of draft.leads) {
    const halfFace = lead.faceWidthMm / 2;
    const { half, data, rows } = leadProfiles(draft, lead, sheet, halfFace + 3, normal);
    const columns = 2 * half + 1;
    const running = new Float64Array(columns);
    const around = 2;
    for (let k = 0; k < rows; k++) {
      running.fill(0);
      const a = Math.max(0, k - around);
      const b = Math.min(rows - 1, k + around);
      for (let j = a; j <= b; j++) {
        for (let c = 0; c < columns; c++) running[c]! += data[j * columns + c]! / (b - a + 1);
      }
      const left = edgeIn(running, 0, half, -halfFace, -1, 1.2);
      const right = edgeIn(running, 0, half, halfFace, 1, 1.2);
      if (!left || !right) continue;
      const offset = (left.atMm + right.atMm) / 2;
      const p = pointOf(lead, k + 1);
      offsetMm[p] = offset;
      weight[p] = Math.min(1, Math.min(left.step, right.step) / 0.25) / (1 + (offset / 0.8) ** 2);
    }
  }
  const targets = { offsetMm, weight };
  easeAtJunctions(draft, ends, targets, normal);
  return targets;
}
