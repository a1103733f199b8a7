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

/** One lead's profiles at a time: its numbers hold until the next are read into the same room. */
export class ProfileRoom {
  private data = new Float64Array();

  of(length: number): Float64Array {
    if (this.data.length < length) this.data = new Float64Array(Math.ceil(1.5 * length));
    return this.data;
  }
}

/** Three samples along each millimetre (or one), so that paper grain averages out; `reachMm` on either side. */
export function leadProfiles(
  draft: Draft,
  lead: DraftLead,
  sheet: DensitySheet,
  reachMm: number,
  normal: { nx: Float64Array; ny: Float64Array } = normals(draft),
  samples: 1 | 3 = 3,
  room = new ProfileRoom(),
): LeadProfiles {
  const half = Math.ceil(reachMm / PROFILE_STEP_MM);
  const columns = 2 * half + 1;
  const data = room.of(lead.count * columns);
  data.fill(0, 0, lead.count * columns);
  const { width, height, data: density } = sheet.density;
  const offsets = new Float64Array(columns);
  for (let c = 0; c < columns; c++) offsets[c] = (c - half) * PROFILE_STEP_MM * sheet.pxPerMm;
  const reach = offsets[columns - 1]!;
  for (let k = 1; k <= lead.count; k++) {
    const p = pointOf(lead, k);
    const nx = normal.nx[p]!;
    const ny = normal.ny[p]!;
    for (let j = -(samples >> 1); j <= samples >> 1; j++) {
      const along = j / 3;
      const x0 = (draft.xy[2 * p]! - ny * along - sheet.originMm[0]) * sheet.pxPerMm;
      const y0 = (draft.xy[2 * p + 1]! + nx * along - sheet.originMm[1]) * sheet.pxPerMm;
      const row = (k - 1) * columns;
      const spanX = Math.abs(nx) * reach;
      const spanY = Math.abs(ny) * reach;
      const isInside =
        x0 - spanX > 1 && y0 - spanY > 1 && x0 + spanX < width - 2 && y0 + spanY < height - 2;
      if (!isInside) {
        for (let c = 0; c < columns; c++) {
          const o = offsets[c]!;
          data[row + c]! += bilinear(sheet.density, x0 + nx * o, y0 + ny * o) / samples;
        }
        continue;
      }
      // as `bilinear`, without its care for the border: half of all samples of a reading are taken here
      for (let c = 0; c < columns; c++) {
        const x = x0 + nx * offsets[c]!;
        const y = y0 + ny * offsets[c]!;
        const u = x | 0;
        const v = y | 0;
        const i = v * width + u;
        const left = density[i]!;
        const below = density[i + width]!;
        const a = left + (x - u) * (density[i + 1]! - left);
        const b = below + (x - u) * (density[i + width + 1]! - below);
        data[row + c]! += (a + (y - v) * (b - a)) / samples;
      }
    }
  }
  return { rows: lead.count, half, data };
}

/** The step at an edge is that between the means so far on either side of it. */
const BESIDE_MM = 1.5;

/** First and last column of a profile that `edgeIn` looks at. */
export function columnsLookedAt(
  half: number,
  expectedMm: number,
  windowMm: number,
): [number, number] {
  const reach = Math.ceil((windowMm + BESIDE_MM) / PROFILE_STEP_MM) + 2;
  const middle = Math.round(expectedMm / PROFILE_STEP_MM) + half;
  return [Math.max(0, middle - reach), Math.min(2 * half, middle + reach)];
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
  const inside = side < 0 ? mean(atMm + 0.3, atMm + BESIDE_MM) : mean(atMm - BESIDE_MM, atMm - 0.3);
  const outside =
    side < 0 ? mean(atMm - BESIDE_MM, atMm - 0.3) : mean(atMm + 0.3, atMm + BESIDE_MM);
  return { atMm, step: Math.max(0, inside - outside) };
}
