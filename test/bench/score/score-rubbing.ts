/**
 * Compares a rubbing's result with exact truth. Lengths in mm.
 * Same definitions as the reference scorer that came with the sample cases; the recorded values in
 * fixtures/rubbings/reference-scores.json hold this code to it.
 */
import { distanceToLeads, type ScoredLead, sampleLeads } from './lead-samples.js';
import { IDENTITY, moved, type Rigid, rigidAlign } from './rigid-align.js';
import type { RubbingResult, RubbingScore, RubbingTruth } from './rubbing-result.js';
import { jointsFromEnds, scoreJoints } from './score-joints.js';
import { lineLength, mean, percentile, resample, type Xy } from './score-math.js';
import { adjacencyF1, scorePieces } from './score-pieces.js';

/** A sample farther than this from any lead of the other side counts as unmatched. */
const CAP_MM = 5;
const TOLERANCE_MM = 3;
const STEP_MM = 2;

export function scoreRubbing(truth: RubbingTruth, result: RubbingResult): RubbingScore {
  const leads = result.leads ?? [];
  const wanted = sampleLeads(truth.leads, STEP_MM);
  const got = sampleLeads(leads, STEP_MM);
  const rigid = resultPlacement(truth, result);
  const place = (p: Xy): Xy => (rigid === IDENTITY ? p : moved(rigid, p));
  got.points = got.points.map(place);

  const pieces = scorePieces(truth, result, place);
  const joints = (result.junctions ?? jointsFromEnds(leads)).map((j) =>
    place(Array.isArray(j) ? j : j.xy),
  );
  return {
    ...leadFigures(wanted, got),
    ...lengthFigures(truth, result),
    ...pieces.figures,
    ...(result.adjacency ? { adjacency_f1: adjacencyF1(truth, result, pieces.match) } : {}),
    ...scoreJoints(truth, joints),
  };
}

/** The turn and shift that a result in a free frame is allowed. */
export function resultPlacement(truth: RubbingTruth, result: RubbingResult): Rigid {
  const { points } = sampleLeads(result.leads ?? [], STEP_MM);
  if (truth.align !== 'rigid' || points.length <= 10) return IDENTITY;
  return rigidAlign(
    points,
    truth.leads.flatMap((e) => resample(e.line, 1)),
  );
}

type Samples = ReturnType<typeof sampleLeads>;
type LeadFigures = Pick<
  RubbingScore,
  | 'lead_pos_mean'
  | 'lead_pos_p95'
  | 'lead_pos_max'
  | 'lead_recall'
  | 'lead_samples'
  | 'width_samples'
  | 'lead_precision'
  | 'width_mae'
  | 'width_bias'
  | 'width_p95'
>;

function leadFigures(wanted: Samples, got: Samples): LeadFigures {
  if (got.points.length === 0) return { lead_recall: 0 };
  const toResult = distanceToLeads(wanted.points, got);
  const toTruth = distanceToLeads(got.points, wanted);
  const seen = wanted.points.map((_, i) => i).filter((i) => wanted.seen[i]);
  const near = [
    ...seen.map((i) => toResult.distanceMm[i]!).filter((d) => d <= CAP_MM),
    ...toTruth.distanceMm.filter((d) => d <= CAP_MM),
  ];
  const width = seen
    .filter((i) => toResult.distanceMm[i]! <= TOLERANCE_MM && wanted.awayFromEnds[i])
    .map((i) => got.widthMm[toResult.nearest[i]!]! - wanted.widthMm[i]!)
    .filter((d) => !Number.isNaN(d));
  const off = width.map(Math.abs);
  return {
    lead_pos_mean: mean(near),
    lead_pos_p95: percentile(near, 95),
    lead_pos_max: percentile(near, 100),
    lead_recall: seen.filter((i) => toResult.distanceMm[i]! <= TOLERANCE_MM).length / seen.length,
    lead_precision:
      toTruth.distanceMm.filter((d) => d <= TOLERANCE_MM).length / toTruth.distanceMm.length,
    lead_samples: near.length,
    width_samples: off.length,
    width_mae: mean(off),
    width_bias: mean(width),
    width_p95: percentile(off, 95),
  };
}

function lengthFigures(truth: RubbingTruth, result: RubbingResult) {
  const leads = result.leads ?? [];
  const length = result.lead_length_total_mm ?? leads.reduce((s, e) => s + lineLength(e.line), 0);
  const all = truth.lead_length_total_mm;
  const seenLength = (e: RubbingTruth['leads'][number]): number =>
    e.length_mm * (e.seen && e.seen.length > 0 ? mean(e.seen)! : 1);
  const seen = truth.leads.reduce((s, e) => s + seenLength(e), 0);
  return {
    length_error_pct: (100 * (length - all)) / all,
    length_error_seen_pct: (100 * (length - seen)) / seen,
    width_class_length_error_pct: classLengthError(truth, leads, seenLength, seen),
  };
}

/** A result lead counts for the true face width nearest to its own. */
function classLengthError(
  truth: RubbingTruth,
  leads: readonly ScoredLead[],
  seenLength: (e: RubbingTruth['leads'][number]) => number,
  seen: number,
): number {
  const classes = [...new Set(truth.leads.map((e) => e.width_mm!))];
  const nearest = (width: number): number =>
    classes.reduce((a, b) => (Math.abs(b - width) < Math.abs(a - width) ? b : a));
  // A length between the stretches that took wax and the whole leads is right: gaps may be bridged.
  const least = new Map(classes.map((w) => [w, 0]));
  const most = new Map(classes.map((w) => [w, 0]));
  const got = new Map(classes.map((w) => [w, 0]));
  for (const e of truth.leads) {
    least.set(e.width_mm!, least.get(e.width_mm!)! + seenLength(e));
    most.set(e.width_mm!, most.get(e.width_mm!)! + e.length_mm);
  }
  for (const e of leads) {
    const w = nearest(e.width_mm ?? 0);
    got.set(w, got.get(w)! + lineLength(e.line));
  }
  const errors = classes
    .filter((w) => least.get(w)! >= 0.05 * seen)
    .map((w) => {
      const off = Math.max(least.get(w)! - got.get(w)!, got.get(w)! - most.get(w)!, 0);
      return (100 * off) / least.get(w)!;
    });
  return Math.max(...errors);
}
