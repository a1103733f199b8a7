import { bilinear, type Plane } from '#libs/raster';
import { type Draft, type DraftLead, pointOf } from './draft.js';
import { normals } from './settle.js';

/** Wax density of the sheet with its frame. */
export interface DensitySheet {
  readonly density: Plane;
  readonly pxPerMm: number;
  /** Panel place of the centre of pixel (0, 0). */
  readonly originMm: readonly [number, number];
}

export const PROFILE_STEP_MM = 0.125;

/** Density across a lead: row k is point k + 1 of the lead, column c is offset (c - half) · PROFILE_STEP_MM. */
export interface LeadProfiles {
  readonly rows: number;
  readonly half: number;
  readonly data: Float64Array;
}

/** Three samples along each millimetre (or one), so that paper grain averages out; `reachMm` on either side. */
export function leadProfiles(
  draft: Draft,
  lead: DraftLead,
  sheet: DensitySheet,
  reachMm: number,
  normal: { nx: Float64Array; ny: Float64Array } = normals(draft),
  samples: 1 | 3 = 3,
): LeadProfiles {
  const half = Math.ceil(reachMm / PROFILE_STEP_MM);
  const columns = 2 * half + 1;
  const data = new Float64Array(lead.count * columns);
  for (let k = 1; k <= lead.count; k++) {
    const p = pointOf(lead, k);
    const nx = normal.nx[p]!;
    const ny = normal.ny[p]!;
    for (let j = -(samples >> 1); j <= samples >> 1; j++) {
      const along = j / 3;
      const x0 = (draft.xy[2 * p]! - ny * along - sheet.originMm[0]) * sheet.pxPerMm;
      const y0 = (draft.xy[2 * p + 1]! + nx * along - sheet.originMm[1]) * sheet.pxPerMm;
      for (let c = 0; c < columns; c++) {
        const o = (c - half) * PROFILE_STEP_MM * sheet.pxPerMm;
        data[(k - 1) * columns + c]! += bilinear(sheet.density, x0 + nx * o, y0 + ny * o) / samples;
      }
    }
  }
  return { rows: lead.count, half, data };
}

/**
 * Place of an edge in a profile, as offset in mm: centroid of the positive gradient (towards the lead) within
 * `windowMm` of `expectedMm`; and the step in density over it. Undefined when nothing rises there.
 * @param side -1 for the edge at negative offsets, 1 for the one at positive offsets
 */
export function edgeIn(
  profile: ArrayLike<number>,
  start: number,
  half: number,
  expectedMm: number,
  side: -1 | 1,
  windowMm: number,
): { atMm: number; step: number } | undefined {
  const from = Math.max(1, Math.round((expectedMm - windowMm) / PROFILE_STEP_MM) + half);
  const to = Math.min(2 * half - 1, Math.round((expectedMm + windowMm) / PROFILE_STEP_MM) + half);
  let sum = 0;
  let moment = 0;
  for (let c = from; c <= to; c++) {
    // rises inwards: with the offset on the negative side, against it on the positive one
    const g = -side * (profile[start + c + 1]! - profile[start + c - 1]!);
    if (g <= 0) continue;
    sum += g;
    moment += g * (c - half);
  }
  if (sum <= 1e-6) return undefined;
  const atMm = (moment / sum) * PROFILE_STEP_MM;
  const mean = (a: number, b: number): number => {
    const lo = Math.max(0, Math.round(a / PROFILE_STEP_MM) + half);
    const hi = Math.min(2 * half, Math.round(b / PROFILE_STEP_MM) + half);
    let s = 0;
    for (let c = lo; c <= hi; c++) s += profile[start + c]!;
    return s / Math.max(1, hi - lo + 1);
  };
  const inside = side < 0 ? mean(atMm + 0.3, atMm + 1.5) : mean(atMm - 1.5, atMm - 0.3);
  const outside = side < 0 ? mean(atMm - 1.5, atMm - 0.3) : mean(atMm + 0.3, atMm + 1.5);
  return { atMm, step: Math.max(0, inside - outside) };
}
