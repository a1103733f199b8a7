import { type Draft, pointOf } from './draft.js';
import { LeadCover } from './lead-cover.js';
import {
  columnsLookedAt,
  type DensitySheet,
  edgeIn,
  leadProfiles,
  ProfileRoom,
} from './lead-profiles.js';
import { normals, type PointTargets } from './settle.js';

/** Profiles are averaged over so many points before and after. */
const AROUND = 2;
const WINDOW_MM = 1.2;
const INSIDE_MM = 0.5;
/** A step of density as strong as this counts fully. */
const FULL_STEP = 0.25;
/** One edge and the width say where the middle is, less surely than both edges. */
const ONE_EDGE_WEIGHT = 0.5;

/**
 * Where the middle between both edges of the face lies across each point, from the wax itself: profiles averaged
 * over 5 mm along the lead, each edge by the centroid of its gradient, weight by the weaker edge's step.
 *
 * An edge is looked for only where no other lead's face covers it; where one edge is free and the other is not, the
 * middle follows from the free edge and the face width. So a lead is followed along its outer edge to the very place
 * where it runs into another.
 *
 * @param samples along each millimetre: one is enough to find joints, three to measure
 */
export function edgeTargets(draft: Draft, sheet: DensitySheet, samples: 1 | 3 = 3): PointTargets {
  const n = draft.xy.length / 2;
  const offsetMm = new Float64Array(n);
  const weight = new Float64Array(n);
  const normal = normals(draft);
  const cover = new LeadCover(draft);
  const room = new ProfileRoom();
  draft.leads.forEach((lead, index) => {
    const halfFace = lead.faceWidthMm / 2;
    const { half, data, rows } = leadProfiles(
      draft,
      lead,
      sheet,
      halfFace + 3,
      normal,
      samples,
      room,
    );
    const columns = 2 * half + 1;
    const running = new Float64Array(columns);
    const isFree = (k: number, side: -1 | 1): boolean => {
      const p = pointOf(lead, k + 1);
      for (const beyond of [0.1, 0.5, 0.9]) {
        const o = side * (halfFace + beyond);
        const x = draft.xy[2 * p]! + normal.nx[p]! * o;
        const y = draft.xy[2 * p + 1]! + normal.ny[p]! * o;
        if (cover.byOther(index, x, y)) return false;
      }
      return true;
    };
    const free = ([-1, 1] as const).map((side) =>
      Uint8Array.from({ length: rows }, (_, k) => (isFree(k, side) ? 1 : 0)),
    );
    const edgeAt = (k: number, side: -1 | 1): { atMm: number; step: number } | undefined => {
      const isUsable = free[side < 0 ? 0 : 1]!;
      if (!isUsable[k]) return undefined;
      const [first, last] = columnsLookedAt(half, side * halfFace, WINDOW_MM);
      running.fill(0, first, last + 1);
      let used = 0;
      for (let j = Math.max(0, k - AROUND); j <= Math.min(rows - 1, k + AROUND); j++) {
        if (!isUsable[j]) continue;
        used++;
        for (let c = first; c <= last; c++) running[c]! += data[j * columns + c]!;
      }
      for (let c = first; c <= last; c++) running[c]! /= used;
      const edge = edgeIn(running, 0, half, side * halfFace, side, WINDOW_MM);
      // just inside the edge another lead lies: it may be that one's edge
      const p = pointOf(lead, k + 1);
      const o = edge ? edge.atMm - side * INSIDE_MM : 0;
      const x = draft.xy[2 * p]! + normal.nx[p]! * o;
      const y = draft.xy[2 * p + 1]! + normal.ny[p]! * o;
      return cover.byOther(index, x, y) ? undefined : edge;
    };
    for (let k = 0; k < rows; k++) {
      const left = edgeAt(k, -1);
      const right = edgeAt(k, 1);
      let offset: number;
      let trust: number;
      if (left && right) {
        offset = (left.atMm + right.atMm) / 2;
        trust = Math.min(1, Math.min(left.step, right.step) / FULL_STEP);
      } else if (left && !free[1]![k]) {
        offset = left.atMm + halfFace;
        trust = ONE_EDGE_WEIGHT * Math.min(1, left.step / FULL_STEP);
      } else if (right && !free[0]![k]) {
        offset = right.atMm - halfFace;
        trust = ONE_EDGE_WEIGHT * Math.min(1, right.step / FULL_STEP);
      } else continue;
      const p = pointOf(lead, k + 1);
      offsetMm[p] = offset;
      weight[p] = trust / (1 + (offset / 0.8) ** 2);
    }
  });
  return { offsetMm, weight };
}
