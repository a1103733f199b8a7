/**
 * Which leads of a result are right, which of the truth are missing, and which of both the list of doubts names.
 *
 * Wrong: a result lead with less than 70 % of its samples within 3 mm of a true lead. Missing: a true
 * lead that took wax, with less than 70 % of its seen samples within 3 mm of a result lead. A wrong lead
 * is on the list when it carries a doubt; a missing one when a doubtful lead or place lies within reach
 * of it. The 70 % and the reach of 8 mm are ours.
 */
import { distanceToLeads, sampleLeads } from './lead-samples.js';
import type { RubbingResult, RubbingTruth } from './rubbing-result.js';
import type { Xy } from './score-math.js';

const TOLERANCE_MM = 3;
const RIGHT_SHARE = 0.7;
const REACH_MM = 8;

export type ResultLead = NonNullable<RubbingResult['leads']>[number];

export interface LeadMatches {
  /** For each result lead. */
  isRight: boolean[];
  isDoubtful: boolean[];
  /** For each true lead: 'found', or missing and on the list, or missing and not on it. */
  found: ('found' | 'listed' | 'missed')[];
  /** Places on the list that belong to no lead. */
  freePlaces: number;
  /** Of these, the ones on a true lead that took hardly any wax and is not drawn: right to ask, not demanded. */
  unseenPlaces: number;
  /** Does a doubt lie within reach of any of these points? */
  isListed: (points: readonly Xy[]) => boolean;
}

/** @param result already laid into the truth's frame */
export function matchLeads(truth: RubbingTruth, result: RubbingResult): LeadMatches {
  const leads = result.leads ?? [];
  const places = result.doubtful_places ?? [];
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

  const far =
    got.points.length > 0
      ? distanceToLeads(wanted.points, got).distanceMm
      : wanted.points.map(() => Infinity);
  let at = 0;
  const unseen: Xy[] = [];
  const found = truth.leads.map((lead): 'found' | 'listed' | 'missed' => {
    const n = sampleLeads([lead], 2).points.length;
    const all = Array.from({ length: n }, (_, k) => at + k);
    const seen = all.filter((i) => wanted.seen[i]);
    at += n;
    const isDrawn = (samples: readonly number[]): boolean =>
      samples.filter((i) => far[i]! <= TOLERANCE_MM).length >= RIGHT_SHARE * samples.length;
    // A lead that mostly took no wax is not demanded.
    if (seen.length < 0.5 * n) {
      if (!isDrawn(all)) unseen.push(...all.map((i) => wanted.points[i]!));
      return 'found';
    }
    if (isDrawn(seen)) return 'found';
    return isListed(seen.map((i) => wanted.points[i]!)) ? 'listed' : 'missed';
  });
  const unseenPlaces = free.filter((d) =>
    unseen.some(([x, y]) => Math.hypot(d.xy[0] - x, d.xy[1] - y) <= d.radius_mm),
  ).length;
  return { isRight, isDoubtful, found, freePlaces: free.length, unseenPlaces, isListed };
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
