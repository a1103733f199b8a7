import { bilinear } from '#libs/raster';
import { type Draft, pointOf } from './draft.js';
import type { LeadEvidence } from './lead-evidence.js';
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
