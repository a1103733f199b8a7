/**
 * Pieces that are wrong or missing though no lead on their border is: a sliver at a joint, a wall that runs a few
 * millimetres aside, two pieces drawn as one where the lead between them took no wax. Each fault counts once: a piece
 * beside a wrong or missing lead is that lead's fault already, and true and drawn pieces that lie on each other are one.
 */

import type { LeadMatches } from './lead-matches.js';
import { distanceToLeads, sampleLeads } from './lead-samples.js';
import { overlapArea, region } from './ring-overlap.js';
import type { RubbingResult, RubbingTruth } from './rubbing-result.js';
import { resample, type Xy } from './score-math.js';
import { scorePieces } from './score-pieces.js';

/** A piece with a wrong or missing lead so near its border is that lead's fault. */
const NEAR_MM = 3;
/** Of the smaller of two pieces, what the other covers when they are one fault. */
const SAME_SHARE = 0.3;

/**
 * @param result already laid into the truth's frame
 * @returns for each such fault whether a doubt lies within reach of it
 */
export function pieceFaults(
  truth: RubbingTruth,
  result: RubbingResult,
  { isRight, found, isListed }: LeadMatches,
): boolean[] {
  const { match } = scorePieces(truth, result, (p) => p);
  const faulty = sampleLeads(
    [
      ...truth.leads.filter((_, i) => found[i] !== 'found'),
      ...(result.leads ?? []).filter((_, i) => !isRight[i]),
    ],
    2,
  );
  const isLeadsFault = (border: readonly Xy[]): boolean =>
    faulty.points.length > 0 &&
    distanceToLeads(border, faulty).distanceMm.some((d) => d <= NEAR_MM);
  const matched = new Set(match.truthOf.values());
  const lost = truth.pieces.filter((p, i) => !p.optional && !matched.has(i)).map((p) => p.polygon);
  const spare = (result.pieces ?? [])
    .filter((_, j) => match.counted.has(j) && !match.truthOf.has(j))
    .map((p) => p.polygon ?? p.cut_polygon ?? []);
  return together([...lost, ...spare])
    .map((rings) => rings.flatMap((ring) => resample(ring, 2)))
    .filter((points) => !isLeadsFault(points))
    .map((points) => isListed(points));
}

/** Rings by the place they share: each lies on another of its group by a third of the smaller. */
function together(rings: readonly (readonly Xy[])[]): (readonly Xy[])[][] {
  const shapes = rings.map((ring) => region(ring));
  const group = rings.map((_, i) => i);
  shapes.forEach((a, i) => {
    for (let j = 0; j < i; j++) {
      const b = shapes[j]!;
      if (overlapArea(a, b) < SAME_SHARE * Math.min(a.area, b.area)) continue;
      const [from, into] = [group[i]!, group[j]!];
      group.forEach((g, k) => {
        if (g === from) group[k] = into;
      });
    }
  });
  return [...new Set(group)].map((g) => rings.filter((_, i) => group[i] === g));
}
