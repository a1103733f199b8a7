/**
 * The result after a person has answered every doubt on the list, by the truth: what a review leaves behind.
 *
 * An error stays unless the list names it. A doubtful lead that is wrong goes; a missing lead within reach of
 * a doubt is drawn; a doubtful lead that is right keeps its place unless it is off by more than a person would
 * let pass (1 mm of line at its 95th percentile, 0.5 mm of face), then it is redrawn. A piece that was not
 * found becomes right when nothing wrong or missing on its border is left; when its border has no error at
 * all, only when a doubt lies within reach of it. Thresholds ours.
 */

import { isInside } from '../generator/polyline.js';
import { type LeadMatches, matchLeads, type ResultLead } from './lead-matches.js';
import { distanceToLeads, sampleLeads } from './lead-samples.js';
import { overlapArea, region } from './ring-overlap.js';
import type { RubbingResult, RubbingTruth } from './rubbing-result.js';
import { percentile, type Xy } from './score-math.js';
import { scorePieces } from './score-pieces.js';

const OFF_MM = 1;
const FACE_OFF_MM = 0.5;
const JOINT_MM = 6;

/** @param truth with the sides of its leads @param result already laid into the truth's frame */
export function answered(truth: RubbingTruth, result: RubbingResult): RubbingResult {
  const matches = matchLeads(truth, result);
  const leads = answeredLeads(truth, result, matches);
  const { pieces, adjacency } = answeredPieces(truth, result, matches);
  return {
    leads,
    pieces,
    adjacency,
    junctions: answeredJoints(truth, result, matches),
    lead_length_total_mm: null,
  };
}

function answeredLeads(
  truth: RubbingTruth,
  result: RubbingResult,
  { isRight, isDoubtful, found }: LeadMatches,
): ResultLead[] {
  const samples = sampleLeads(truth.leads, 2);
  const leads = (result.leads ?? []).flatMap((lead, i): ResultLead[] => {
    if (!isDoubtful[i]) return [lead];
    if (!isRight[i]) return [];
    return [redrawn(truth, samples, lead)];
  });
  return [...leads, ...truth.leads.filter((_, i) => found[i] === 'listed')];
}

/** As drawn, or with the true line and face where the person sees that it is off. */
function redrawn(
  truth: RubbingTruth,
  samples: ReturnType<typeof sampleLeads>,
  lead: ResultLead,
): ResultLead {
  const own = sampleLeads([lead], 2).points;
  const { distanceMm, nearest } = distanceToLeads(own, samples);
  const face = samples.widthMm[nearest[Math.floor(own.length / 2)]!]!;
  const isOff =
    percentile(distanceMm, 95)! > OFF_MM || Math.abs((lead.width_mm ?? NaN) - face) > FACE_OFF_MM;
  if (!isOff) return lead;
  const line = nearest.map((i): Xy => samples.points[i]!);
  const apart = line.filter((p, i) => i === 0 || p !== line[i - 1]);
  return {
    ...lead,
    line: apart.length > 1 ? apart : lead.line,
    ...(Number.isNaN(face) || truth.leads.length === 0 ? {} : { width_mm: face }),
  };
}

function answeredPieces(
  truth: RubbingTruth,
  result: RubbingResult,
  matches: LeadMatches,
): Required<Pick<RubbingResult, 'pieces' | 'adjacency'>> {
  const { match } = scorePieces(truth, result, (p) => p);
  const shapes = truth.pieces.map((p) => region(p.polygon));
  const resultOf = new Map([...match.truthOf].map(([j, i]) => [i, j]));
  const wrongLeft = (result.leads ?? []).filter(
    (_, i) => !matches.isRight[i] && !matches.isDoubtful[i],
  );
  const isHealed = truth.pieces.map((piece, i) => {
    if (resultOf.has(i)) return false;
    const border = truth.leads.flatMap((e, k) =>
      e.left === piece.id || e.right === piece.id ? [k] : [],
    );
    const left = border.some((k) => matches.found[k] === 'missed');
    const crossed = wrongLeft.some((e) => {
      const points = sampleLeads([e], 2).points;
      return points.filter((p) => isInside(p, piece.polygon)).length >= 0.5 * points.length;
    });
    return !left && !crossed && matches.isListed(piece.polygon);
  });
  const healed = shapes.filter((_, i) => isHealed[i]);
  const kept = (result.pieces ?? []).flatMap((piece, j) => {
    if (match.truthOf.has(j)) return [{ piece, j }];
    const shape = region(piece.polygon ?? piece.cut_polygon ?? []);
    const over = healed.reduce((s, h) => s + overlapArea(shape, h), 0);
    return over >= 0.5 * shape.area ? [] : [{ piece, j }];
  });
  const nameOf = (i: number): number | string | undefined =>
    isHealed[i] ? `true ${i}` : result.pieces?.[resultOf.get(i) ?? -1]?.id;
  const indexOf = new Map(truth.pieces.map((p, i) => [p.id, i]));
  const keptIds = new Set(kept.map(({ piece }) => piece.id));
  const between = (result.adjacency ?? []).filter((pair) => {
    const [a, b] = Array.isArray(pair) ? pair : [pair.a, pair.b];
    return keptIds.has(a) && keptIds.has(b);
  });
  const mended = truth.adjacency.flatMap(({ a, b }): [number | string, number | string][] => {
    const [i, j] = [indexOf.get(a)!, indexOf.get(b)!];
    const [p, q] = [nameOf(i), nameOf(j)];
    return (isHealed[i] || isHealed[j]) && p !== undefined && q !== undefined ? [[p, q]] : [];
  });
  return {
    pieces: [
      ...kept.map(({ piece }) => piece),
      ...truth.pieces.flatMap((p, i) =>
        isHealed[i] ? [{ id: `true ${i}`, polygon: p.polygon }] : [],
      ),
    ],
    adjacency: [...between, ...mended],
  };
}

function answeredJoints(
  truth: RubbingTruth,
  result: RubbingResult,
  { isListed }: LeadMatches,
): Xy[] {
  const joints = (result.junctions ?? []).map((j): Xy => (Array.isArray(j) ? j : j.xy));
  const near = (p: Xy, list: readonly Xy[]): boolean =>
    list.some((q) => Math.hypot(p[0] - q[0], p[1] - q[1]) <= JOINT_MM);
  const known = [...truth.junctions.map((j) => j.xy), ...(truth.corners ?? [])];
  const kept = joints.filter((p) => near(p, known) || !isListed([p]));
  const drawn = truth.junctions.filter(({ xy }) => !near(xy, joints) && isListed([xy]));
  return [...kept, ...drawn.map((j) => j.xy)];
}
