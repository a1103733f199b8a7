import { bilinear } from '#libs/raster';
import { type Draft, pointOf } from './draft.js';
import type { LeadEvidence } from './lead-evidence.js';
import { type DensitySheet, edgeIn, leadProfiles } from './lead-profiles.js';
import { normals } from './settle.js';

/**
 * First guess of every lead's face width from the network: the covered share across the line, summed outwards until it
 * falls below one third, median along the lead away from its ends. Writes `faceWidthMm`.
 */
export function guessFaceWidths(draft: Draft, evidence: LeadEvidence): void {
  const { nx, ny } = normals(draft);
  const stepMm = 0.25;
  const at = (p: number, o: number): number =>
    bilinear(
      evidence.face,
      (draft.xy[2 * p]! + nx[p]! * o - evidence.originMm[0]) * evidence.cellsPerMm,
      (draft.xy[2 * p + 1]! + ny[p]! * o - evidence.originMm[1]) * evidence.cellsPerMm,
    );
  for (const lead of draft.leads) {
    const widths: number[] = [];
    const margin = Math.min(8, Math.max(1, Math.floor(lead.count / 3)));
    for (let k = margin; k <= lead.count + 1 - margin; k++) {
      const p = pointOf(lead, k);
      if (p < draft.nodeCount) continue;
      let width = 0;
      for (const side of [-1, 1]) {
        for (let o = stepMm / 2; o < 8; o += stepMm) {
          const f = at(p, side * o);
          if (f < 0.33 && o > 1) {
            width += f * stepMm;
            break;
          }
          width += Math.min(1, f) * stepMm;
        }
      }
      if (width > 1.5) widths.push(width);
    }
    widths.sort((a, b) => a - b);
    if (widths.length > 0) lead.faceWidthMm = widths[widths.length >> 1]!;
  }
}

/**
 * Measures every lead's face width in the wax: profile averaged along the lead away from its ends, each edge by the
 * centroid of its gradient within 1.1 mm; spread from profiles of 8 mm each. Leaves leads without two edges as guessed.
 * @returns half the 16-84 percentile range of the width along each lead, mm
 */
export function measureFaceWidths(draft: Draft, sheet: DensitySheet): Float64Array {
  const normal = normals(draft);
  const spread = new Float64Array(draft.leads.length);
  draft.leads.forEach((lead, index) => {
    const { half, data, rows } = leadProfiles(draft, lead, sheet, lead.faceWidthMm / 2 + 3, normal);
    const columns = 2 * half + 1;
    const margin = Math.min(7, Math.max(1, Math.floor(rows / 3)));
    const mean = new Float64Array(columns);
    const widthOf = (from: number, to: number, expectedMm: number): number | undefined => {
      mean.fill(0);
      for (let k = from; k < to; k++) {
        for (let c = 0; c < columns; c++) mean[c]! += data[k * columns + c]! / (to - from);
      }
      const left = edgeIn(mean, 0, half, -expectedMm / 2, -1, 1.1);
      const right = edgeIn(mean, 0, half, expectedMm / 2, 1, 1.1);
      return left && right && Math.min(left.step, right.step) > 0.04
        ? right.atMm - left.atMm
        : undefined;
    };
    if (rows - 2 * margin < 3) return;
    let width = widthOf(margin, rows - margin, lead.faceWidthMm);
    if (width !== undefined) width = widthOf(margin, rows - margin, width);
    if (width === undefined) return;
    lead.faceWidthMm = width;
    const parts: number[] = [];
    for (let k = margin; k + 8 <= rows - margin; k += 8) {
      const part = widthOf(k, k + 8, width);
      if (part !== undefined) parts.push(part);
    }
    parts.sort((a, b) => a - b);
    if (parts.length > 1) {
      const at = (f: number): number => parts[Math.round(f * (parts.length - 1))]!;
      spread[index] = (at(0.84) - at(0.16)) / 2;
    }
  });
  return spread;
}
