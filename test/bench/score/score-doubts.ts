/**
 * Does the list of doubts hold what is wrong, without being long? And is a sure lead a right one?
 *
 * Wrong: a result lead with less than 70 % of its samples within 3 mm of a true lead. Missing: a true
 * lead that took wax, with less than 70 % of its seen samples within 3 mm of a result lead. A wrong lead
 * is on the list when it carries a doubt; a missing one when a doubtful lead or place lies within reach
 * of it. The 70 % and the reach of 8 mm are ours.
 */
import { distanceToLeads, sampleLeads } from './lead-samples.js';
import { moved, type Rigid } from './rigid-align.js';
import type { RubbingResult, RubbingTruth } from './rubbing-result.js';
import type { Xy } from './score-math.js';

const TOLERANCE_MM = 3;
const RIGHT_SHARE = 0.7;
const REACH_MM = 8;

export interface ConfidenceBin {
  from: number;
  leads: number;
  right: number;
}

export interface DoubtScore {
  wrong: number;
  missing: number;
  /** Of wrong and missing, how many the list holds. */
  covered: number;
  listed: number;
  bins: ConfidenceBin[];
}

export const BIN_EDGES = [0, 0.5, 0.7, 0.8, 0.9, 0.95, 0.98] as const;

export function scoreDoubts(truth: RubbingTruth, result: RubbingResult, rigid: Rigid): DoubtScore {
  const leads = (result.leads ?? []).map((e) => ({
    ...e,
    line: e.line.map((p) => moved(rigid, p)),
  }));
  const places = (result.doubtful_places ?? []).map((d) => ({ ...d, xy: moved(rigid, d.xy) }));
  const wanted = sampleLeads(truth.leads, 2);
  const got = sampleLeads(leads, 2);
  const isRight = shareNear(leads, distanceToLeads(got.points, wanted).distanceMm);
  const isDoubtful = leads.map(
    (e) => (e.doubts?.length ?? 0) > 0 || places.some((d) => d.lead !== null && d.lead === e.id),
  );
  const free = places.filter((d) => d.lead === null || !leads.some((e) => e.id === d.lead));
  const doubtfulLeads = sampleLeads(
    leads.filter((_, i) => isDoubtful[i]),
    2,
  );
  const isListed = (points: readonly Xy[]): boolean =>
    points.some(([x, y]) =>
      free.some((d) => Math.hypot(d.xy[0] - x, d.xy[1] - y) <= d.radius_mm + REACH_MM),
    ) ||
    (doubtfulLeads.points.length > 0 &&
      distanceToLeads(points, doubtfulLeads).distanceMm.some((d) => d <= REACH_MM));

  const far = distanceToLeads(wanted.points, got).distanceMm;
  let missing = 0;
  let covered = 0;
  let at = 0;
  for (const lead of truth.leads) {
    const n = sampleLeads([lead], 2).points.length;
    const seen = Array.from({ length: n }, (_, k) => at + k).filter((i) => wanted.seen[i]);
    at += n;
    // A lead that mostly took no wax is not demanded.
    if (
      seen.length < 0.5 * n ||
      seen.filter((i) => far[i]! <= TOLERANCE_MM).length >= RIGHT_SHARE * seen.length
    )
      continue;
    missing++;
    if (isListed(seen.map((i) => wanted.points[i]!))) covered++;
  }
  const wrong = leads.filter((_, i) => !isRight[i]).length;
  covered += leads.filter((_, i) => !isRight[i] && isDoubtful[i]).length;
  const bins = BIN_EDGES.map((from): ConfidenceBin => ({ from, leads: 0, right: 0 }));
  leads.forEach((e, i) => {
    const bin = bins.findLast((b) => (e.confidence ?? 0) >= b.from) ?? bins[0]!;
    bin.leads++;
    if (isRight[i]) bin.right++;
  });
  return { wrong, missing, covered, listed: isDoubtful.filter(Boolean).length + free.length, bins };
}

function shareNear(leads: readonly { line: Xy[] }[], distanceMm: readonly number[]): boolean[] {
  let at = 0;
  return leads.map((lead) => {
    const n = sampleLeads([lead], 2).points.length;
    const near = distanceMm.slice(at, at + n).filter((d) => d <= TOLERANCE_MM).length;
    at += n;
    return near >= RIGHT_SHARE * n;
  });
}
