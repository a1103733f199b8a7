/** How far a second reading of the same map, with a stricter rule for what is a lead, agrees with the drawing. */
import { type Draft, lineOf } from './draft.js';
import type { LeadEvidence } from './lead-evidence.js';

/** A lead and a wall so near each other are the same. */
const SAME_MM = 1.5;

/**
 * @param walls of the second reading, on the cells of the evidence
 * @returns for each lead the share of its points, 0-1, that the second reading has a wall beside
 */
export function agreement(draft: Draft, walls: Uint8Array, evidence: LeadEvidence): Float64Array {
  const { width, height } = evidence.face;
  const limit = (SAME_MM * evidence.cellsPerMm) ** 2;
  const reach = Math.floor(Math.sqrt(limit));
  const isBesideWall = (x: number, y: number): boolean => {
    for (let v = Math.max(0, y - reach); v <= Math.min(height - 1, y + reach); v++) {
      for (let u = Math.max(0, x - reach); u <= Math.min(width - 1, x + reach); u++) {
        if (walls[v * width + u] !== 0 && (u - x) ** 2 + (v - y) ** 2 <= limit) return true;
      }
    }
    return false;
  };
  return Float64Array.from(draft.leads, (lead) => {
    const line = lineOf(draft, lead);
    let agreed = 0;
    for (let k = 0; k < line.length; k += 2) {
      const x = Math.round((line[k]! - evidence.originMm[0]) * evidence.cellsPerMm);
      const y = Math.round((line[k + 1]! - evidence.originMm[1]) * evidence.cellsPerMm);
      const isOnMap = x >= 0 && y >= 0 && x < width && y < height;
      if (isOnMap && isBesideWall(x, y)) agreed++;
    }
    return agreed / (line.length / 2);
  });
}
