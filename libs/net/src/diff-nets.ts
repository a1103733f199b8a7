/** What differs between two drawings of one panel in the same frame. */

import type { Net, NetLead, XyMm } from './net.js';
import { NetError } from './net-error.js';
import { overlapsOf, SAME_PIECE_RATIO } from './overlap.js';
import { distanceToSegmentMm, pointAlongMm, polylineLengthMm, resampleMm } from './ring.js';
import { segmentIndex } from './segment-index.js';

export interface DiffOptions {
  /** Leads that moved less than this are the same; 1 mm (common practice, no source). */
  readonly toleranceMm?: number;
  /** How far a lead may have gone and still be itself; 10 mm (ours). */
  readonly reachMm?: number;
}

export interface LeadShift {
  readonly beforeLeadId: string;
  readonly afterLeadId: string;
  readonly meanMm: number;
  readonly maxMm: number;
  /** Where it is largest, on the earlier drawing, and which way it went there. */
  readonly atMm: XyMm;
  readonly byMm: XyMm;
}

export interface NetDiff {
  /** Every lead found in both, whether it moved or not. */
  readonly shifts: readonly LeadShift[];
  readonly moved: readonly LeadShift[];
  readonly added: readonly { leadId: string; lengthMm: number; atMm: XyMm }[];
  readonly removed: readonly { leadId: string; lengthMm: number; atMm: XyMm }[];
  readonly widths: readonly { leadId: string; beforeMm: number; afterMm: number }[];
  readonly pieces: { readonly added: readonly string[]; readonly gone: readonly string[] };
  readonly meanMm: number;
  readonly maxMm: number;
  readonly sentence: string;
}

const SAMPLE_MM = 3;
/** Half of a lead must be found again for it to be the same lead. */
const FOUND_RATIO = 0.5;
/** Smaller changes of face width are below what a rubbing measures (bar of the rubbing: 0.3 mm). */
const WIDTH_CHANGE_MM = 0.8;

/**
 * Compares lead by lead: each is sampled, and belongs to the lead of the other drawing that runs
 * along it. Nothing is aligned first: growth of the whole panel shows as shifts that grow outwards.
 *
 * @throws {NetError} `bad-option` when the drawings show different faces or layers
 */
export function diffNets(before: Net, after: Net, options: DiffOptions = {}): NetDiff {
  const { toleranceMm = 1, reachMm = 10 } = options;
  if (before.face !== after.face || before.layer !== after.layer) {
    throw new NetError(
      'bad-option',
      `the drawings show different sides: ${before.face}/${before.layer} and ${after.face}/${after.layer}`,
    );
  }
  const inAfter = leadFinder(after.leads);
  const inBefore = leadFinder(before.leads);
  const forward = before.leads.map((lead) => follow(lead, inAfter, reachMm));
  const backward = after.leads.map((lead) => follow(lead, inBefore, reachMm));
  const shifts = forward.flatMap((found, i): LeadShift[] =>
    found === null ? [] : [{ beforeLeadId: before.leads[i]!.leadId, ...found }],
  );
  const lost = (leads: readonly NetLead[], found: readonly (object | null)[]) =>
    leads
      .filter((_, i) => found[i] === null)
      .map(({ leadId, lineMm }) => {
        const lengthMm = polylineLengthMm(lineMm);
        return { leadId, lengthMm, atMm: pointAlongMm(lineMm, lengthMm / 2) };
      });
  const overlaps = overlapsOf(before.pieces, after.pieces).filter(
    (overlap) => overlap.iou >= SAME_PIECE_RATIO,
  );
  const moved = shifts.filter((shift) => shift.maxMm > toleranceMm);
  const removed = lost(before.leads, forward);
  const added = lost(after.leads, backward);
  const byId = new Map(after.leads.map((lead) => [lead.leadId, lead]));
  const widths = shifts.flatMap(({ beforeLeadId, afterLeadId }) => {
    const beforeMm = before.leads.find((lead) => lead.leadId === beforeLeadId)!.faceWidthMm;
    const afterMm = byId.get(afterLeadId)!.faceWidthMm;
    return Math.abs(afterMm - beforeMm) > WIDTH_CHANGE_MM
      ? [{ leadId: beforeLeadId, beforeMm, afterMm }]
      : [];
  });
  const pieces = {
    added: after.pieces
      .filter((_, i) => !overlaps.some((overlap) => overlap.after === i))
      .map((piece) => piece.pieceId),
    gone: before.pieces
      .filter((_, i) => !overlaps.some((overlap) => overlap.before === i))
      .map((piece) => piece.pieceId),
  };
  const maxMm = Math.max(0, ...shifts.map((shift) => shift.maxMm));
  const meanMm =
    shifts.length === 0 ? 0 : shifts.reduce((sum, s) => sum + s.meanMm, 0) / shifts.length;
  return {
    shifts,
    moved,
    added,
    removed,
    widths,
    pieces,
    meanMm,
    maxMm,
    sentence: sentence(shifts.length, moved, added.length, removed.length, widths.length, {
      toleranceMm,
      maxMm,
    }),
  };
}

/** The lead that runs along this one for more than half of it, and how far off; or null. */
function follow(
  lead: NetLead,
  nearestLead: NearestLead,
  reachMm: number,
): Omit<LeadShift, 'beforeLeadId'> | null {
  const length = polylineLengthMm(lead.lineMm);
  // Ends are left out: at a joint every lead is near, and a short lead would be taken for its neighbour.
  const all = resampleMm(lead.lineMm, Math.min(SAMPLE_MM, length / 6));
  const samples = length < 8 * SAMPLE_MM ? all.slice(1, -1) : all.slice(2, -2);
  const near = samples.map((place) => nearestLead(place, reachMm));
  const votes = new Map<NetLead, number>();
  for (const found of near) {
    if (found !== null) votes.set(found, (votes.get(found) ?? 0) + 1);
  }
  const best = [...votes].sort((a, b) => b[1] - a[1])[0]?.[0];
  if (best === undefined) return null;
  // Where the lead found was cut by a new joint, others carry on its line: any of them counts.
  const followed = near.filter((found) => found !== null).length;
  if (followed < FOUND_RATIO * samples.length || !runsAlong(samples, near)) return null;
  let sum = 0;
  let maxMm = -1;
  let atMm: XyMm = samples[0]!;
  let byMm: XyMm = [0, 0];
  samples.forEach((place, i) => {
    const found = near[i];
    if (found === null || found === undefined) return;
    const foot = nearestPlace(place, found.lineMm);
    const off = Math.hypot(foot[0] - place[0], foot[1] - place[1]);
    sum += off;
    if (off > maxMm) {
      maxMm = off;
      atMm = place;
      byMm = [foot[0] - place[0], foot[1] - place[1]];
    }
  });
  return { afterLeadId: best.leadId, meanMm: sum / followed, maxMm, atMm, byMm };
}

/** Finds the lead nearest to a place, within a reach; or null. */
type NearestLead = (place: XyMm, reachMm: number) => NetLead | null;

/** A spatial index over the segments of all leads: a big net has tens of thousands. */
function leadFinder(leads: readonly NetLead[]): NearestLead {
  const segments = leads.flatMap((lead) =>
    lead.lineMm.slice(1).map((to, i) => ({ lead, from: lead.lineMm[i]!, to })),
  );
  const index = segmentIndex(segments);
  return ([x, y], reachMm) => {
    let best: NetLead | null = null;
    let least = reachMm;
    for (const at of index.search(x - reachMm, y - reachMm, x + reachMm, y + reachMm)) {
      const { lead, from, to } = segments[at]!;
      const off = distanceToSegmentMm([x, y], from, to);
      if (off < least) {
        least = off;
        best = lead;
      }
    }
    return best;
  };
}

/** A lead that crosses the reach of another is not the same: their middles must point alike. */
function runsAlong(samples: readonly XyMm[], near: readonly (NetLead | null)[]): boolean {
  const first = Math.floor(0.25 * (samples.length - 1));
  const last = Math.ceil(0.75 * (samples.length - 1));
  const [a, b] = [samples[first]!, samples[last]!];
  const [leadA, leadB] = [near[first], near[last]];
  if (!leadA || !leadB) return true;
  const p = nearestPlace(a, leadA.lineMm);
  const q = nearestPlace(b, leadB.lineMm);
  const ux = b[0] - a[0];
  const uy = b[1] - a[1];
  return (q[0] - p[0]) * ux + (q[1] - p[1]) * uy > 0.5 * (ux * ux + uy * uy);
}

function nearestPlace(place: XyMm, line: readonly XyMm[]): XyMm {
  let best = line[0]!;
  let least = Infinity;
  for (let i = 1; i < line.length; i++) {
    const a = line[i - 1]!;
    const b = line[i]!;
    const ux = b[0] - a[0];
    const uy = b[1] - a[1];
    const length2 = ux * ux + uy * uy;
    const t =
      length2 === 0
        ? 0
        : Math.min(1, Math.max(0, ((place[0] - a[0]) * ux + (place[1] - a[1]) * uy) / length2));
    const foot: XyMm = [a[0] + t * ux, a[1] + t * uy];
    const off = Math.hypot(foot[0] - place[0], foot[1] - place[1]);
    if (off < least) {
      least = off;
      best = foot;
    }
  }
  return best;
}

function sentence(
  found: number,
  moved: readonly LeadShift[],
  added: number,
  removed: number,
  widths: number,
  { toleranceMm, maxMm }: { toleranceMm: number; maxMm: number },
): string {
  const count = (n: number, what: string) => `${n} ${what}${n === 1 ? '' : 's'}`;
  const parts: string[] = [];
  if (moved.length > 0) {
    const worst = moved.reduce((a, b) => (b.maxMm > a.maxMm ? b : a));
    parts.push(
      `${count(moved.length, 'lead')} moved by up to ${maxMm.toFixed(1)} mm (most: ${worst.beforeLeadId})`,
    );
  }
  if (added > 0) parts.push(`${count(added, 'lead')} added`);
  if (removed > 0) parts.push(`${count(removed, 'lead')} removed`);
  if (widths > 0) parts.push(`${count(widths, 'lead')} changed in face width`);
  if (parts.length === 0) {
    return `All ${count(found, 'lead')} are where they were, within ${toleranceMm.toFixed(1)} mm.`;
  }
  return `${parts.join('; ')}.`;
}
