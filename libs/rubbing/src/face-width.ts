import { bilinear } from '#libs/raster';
import { type Draft, pointOf } from './draft.js';
import { endsNow, throughPairs } from './junctions.js';
import { LeadCover } from './lead-cover.js';
import type { LeadEvidence } from './lead-evidence.js';
import { type DensitySheet, edgeIn, leadProfiles, ProfileRoom } from './lead-profiles.js';
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

/** Fewer free rows than this (mm) say nothing of a width, nor does a weaker step of density. */
const LEAST_ROWS = 5;
const LEAST_STEP = 0.05;
/** Rows beside the ends are left out where there are enough others. */
const MARGIN_ROWS = 5;

/**
 * Measures every lead's face width in the wax: profile averaged along the lead where no other face covers its edges,
 * each edge by the centroid of its gradient within 1.1 mm; spread from profiles of 8 mm each. A lead too short, hidden
 * or bare to measure takes the width of the lead it continues, else the narrowest measured one it meets.
 * @param samples along each millimetre: one is enough to find joints, three to measure
 * @returns half the 16-84 percentile range of the width along each lead, mm
 */
export function measureFaceWidths(
  draft: Draft,
  sheet: DensitySheet,
  samples: 1 | 3 = 3,
): Float64Array {
  const normal = normals(draft);
  const cover = new LeadCover(draft);
  const spread = new Float64Array(draft.leads.length);
  const room = new ProfileRoom();
  const isMeasured = draft.leads.map((lead, index) => {
    const { half, data, rows } = leadProfiles(
      draft,
      lead,
      sheet,
      lead.faceWidthMm / 2 + 3,
      normal,
      samples,
      room,
    );
    const columns = 2 * half + 1;
    const usable = freeRows(draft, index, cover, normal);
    const inner = usable.filter((k) => k >= MARGIN_ROWS && k < rows - MARGIN_ROWS);
    const free = inner.length >= LEAST_ROWS ? inner : usable;
    if (free.length < LEAST_ROWS) return false;
    const mean = new Float64Array(columns);
    const widthOf = (list: readonly number[], expectedMm: number): number | undefined => {
      mean.fill(0);
      for (const k of list) {
        for (let c = 0; c < columns; c++) mean[c]! += data[k * columns + c]! / list.length;
      }
      const left = edgeIn(mean, 0, half, -expectedMm / 2, -1, 1.1);
      const right = edgeIn(mean, 0, half, expectedMm / 2, 1, 1.1);
      return left && right && Math.min(left.step, right.step) > LEAST_STEP
        ? right.atMm - left.atMm
        : undefined;
    };
    let width = widthOf(free, lead.faceWidthMm);
    if (width !== undefined) width = widthOf(free, width);
    if (width === undefined) return false;
    lead.faceWidthMm = width;
    const parts: number[] = [];
    for (let k = 0; k + 8 <= free.length; k += 8) {
      const part = widthOf(free.slice(k, k + 8), width);
      if (part !== undefined) parts.push(part);
    }
    parts.sort((a, b) => a - b);
    if (parts.length > 1) {
      const at = (f: number): number => parts[Math.round(f * (parts.length - 1))]!;
      spread[index] = (at(0.84) - at(0.16)) / 2;
    }
    return true;
  });
  inheritWidths(draft, isMeasured);
  return spread;
}

/** Rows (points of the lead less one) at which both edges are the lead's own. */
function freeRows(
  draft: Draft,
  index: number,
  cover: LeadCover,
  { nx, ny }: { nx: Float64Array; ny: Float64Array },
): number[] {
  const lead = draft.leads[index]!;
  const out: number[] = [];
  for (let k = 1; k <= lead.count; k++) {
    const p = pointOf(lead, k);
    const isHidden = [-1, 1].some((side) =>
      [-0.5, 0.3, 1].some((beyond) => {
        const o = side * (lead.faceWidthMm / 2 + beyond);
        return cover.byOther(
          index,
          draft.xy[2 * p]! + nx[p]! * o,
          draft.xy[2 * p + 1]! + ny[p]! * o,
        );
      }),
    );
    if (!isHidden) out.push(k - 1);
  }
  return out;
}

function inheritWidths(draft: Draft, measured: readonly boolean[]): void {
  const isKnown = [...measured];
  const leadOf = new Map<number, number>();
  draft.leads.forEach((lead, i) => {
    leadOf.set(pointOf(lead, 1), i);
    leadOf.set(pointOf(lead, lead.count), i);
  });
  const through = throughPairs(draft, endsNow(draft));
  for (let round = 0; round < 3; round++) {
    for (const { a, b } of through) {
      const i = leadOf.get(a)!;
      const j = leadOf.get(b)!;
      if (isKnown[i] === isKnown[j]) continue;
      const [from, to] = isKnown[i] ? [i, j] : [j, i];
      draft.leads[to]!.faceWidthMm = draft.leads[from]!.faceWidthMm;
      isKnown[to] = true;
    }
  }
  draft.leads.forEach((lead, i) => {
    if (isKnown[i]) return;
    const met = draft.leads.filter(
      (other, j) =>
        measured[j] &&
        [other.from, other.to].some((node) => node === lead.from || node === lead.to),
    );
    if (met.length > 0) lead.faceWidthMm = Math.min(...met.map((other) => other.faceWidthMm));
  });
}
