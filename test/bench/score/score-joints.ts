/** Joints matched one to one within 6 mm. */
import { assign } from './assignment.js';
import type { ScoredLead } from './lead-samples.js';
import type { RubbingScore, RubbingTruth } from './rubbing-result.js';
import { mean, percentile, type Xy } from './score-math.js';

const NEAR_MM = 6;
const FAR = 1000;

type JointFigures = Pick<
  RubbingScore,
  'junction_recall' | 'junction_precision' | 'junction_mean' | 'junction_p95'
>;

export function scoreJoints(truth: RubbingTruth, joints: readonly Xy[]): JointFigures {
  const wanted = truth.junctions.filter((j) => j.seen ?? true).map((j) => j.xy);
  if (joints.length === 0 || wanted.length === 0)
    return { junction_recall: 0, junction_precision: 0 };
  const cost = new Float64Array(wanted.length * joints.length);
  wanted.forEach(([x, y], i) => {
    joints.forEach(([u, v], j) => {
      const d = Math.hypot(x - u, y - v);
      cost[i * joints.length + j] = d <= NEAR_MM ? d : FAR;
    });
  });
  const errors: number[] = [];
  const matchedTruth = new Set<string>();
  const matchedResult = new Set<number>();
  assign(cost, wanted.length, joints.length).forEach((j, i) => {
    if (j < 0 || cost[i * joints.length + j]! >= FAR) return;
    errors.push(cost[i * joints.length + j]!);
    matchedTruth.add(String(wanted[i]));
    matchedResult.add(j);
  });
  // False: far from every true joint or bend, or a second report of one already matched.
  const known = [...truth.junctions.map((j) => j.xy), ...(truth.corners ?? [])];
  let wrong = 0;
  joints.forEach(([u, v], j) => {
    if (matchedResult.has(j)) return;
    let least = Infinity;
    let at: Xy = [NaN, NaN];
    for (const p of known) {
      const d = Math.hypot(p[0] - u, p[1] - v);
      if (d < least) {
        least = d;
        at = p;
      }
    }
    if (least > NEAR_MM || matchedTruth.has(String(at))) wrong++;
  });
  return {
    junction_recall: errors.length / wanted.length,
    junction_precision: errors.length / Math.max(1, errors.length + wrong),
    junction_mean: mean(errors),
    junction_p95: percentile(errors, 95),
  };
}

/** Where three or more lead ends lie within 1 mm. */
export function jointsFromEnds(leads: readonly ScoredLead[]): Xy[] {
  const ends = leads.flatMap((e) => [e.line[0]!, e.line.at(-1)!]);
  if (ends.length === 0) return [];
  const done = new Set<number>();
  const out: Xy[] = [];
  ends.forEach(([x, y], i) => {
    if (done.has(i)) return;
    const group = ends
      .map((_, k) => k)
      .filter((k) => Math.hypot(ends[k]![0] - x, ends[k]![1] - y) <= 1);
    for (const k of group) done.add(k);
    if (group.length < 3) return;
    out.push([
      group.reduce((s, k) => s + ends[k]![0], 0) / group.length,
      group.reduce((s, k) => s + ends[k]![1], 0) / group.length,
    ]);
  });
  return out;
}
