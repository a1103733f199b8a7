import { addFitSums, makeFitSums } from './fit-sums.js';
import { faceOf, type Layout } from './layout.js';
import { fitPair } from './pair-candidates.js';
import { inverseTurn, relativeTurn, type Turn } from './pose.js';
import { settleGroup, touching } from './settle.js';
import type { ShardFace } from './shard-face.js';

const TRIED_MM = [0.08, 0.14, 0.2, 0.26, 0.32, 0.38, 0.44, 0.5];
const LEAST_MM = 0.1;
const MOST_MM = 0.48;
const ROUNDS = 5;
/** Where the search begins, and what is taken until the whole says otherwise. */
export const USUAL_GAP_MM = 0.22;
const REACH_MM = 0.7;
const PAIR_REACHES_MM = [0.7, 0.7, 0.7];
/** Joints of fewer weighted samples say nothing. */
const LEAST_SAMPLES = 16;
const LEAST_JOINTS = 4;

/**
 * How far the joints stay open, from how ill the shards lie together: at a wrong gap all of them together fit worse than
 * each pair by itself would, and the excess is least near the true one. Neither residuals alone nor evidence tell it.
 * @returns null when too few joints hang together to tell
 */
export function estimateGapMm(l: Layout, group: number): number | null {
  const pairs = touching(l, group).filter(([a, b]) => {
    const rel = relativeTurn(l.turn[a]!, l.turn[b]!);
    return misfit(faceOf(l, a), faceOf(l, b), rel, USUAL_GAP_MM).samples >= LEAST_SAMPLES;
  });
  if (pairs.length < LEAST_JOINTS || pairs.length < l.members[group]!.length) return null;
  const excess = TRIED_MM.map((gapMm) => excessAt(l, group, pairs, gapMm));
  const k = excess.indexOf(Math.min(...excess));
  let gap = TRIED_MM[k]!;
  if (k > 0 && k < TRIED_MM.length - 1) {
    const [p, q, r] = [excess[k - 1]!, excess[k]!, excess[k + 1]!];
    const bend = p - 2 * q + r;
    if (bend > 0) gap += ((0.5 * (p - r)) / bend) * (TRIED_MM[1]! - TRIED_MM[0]!);
  }
  return Math.min(MOST_MM, Math.max(LEAST_MM, gap));
}

function excessAt(
  l: Layout,
  group: number,
  pairs: readonly [number, number][],
  gapMm: number,
): number {
  const trial: Layout = { ...l, turn: [...l.turn] };
  settleGroup(trial, group, gapMm, ROUNDS);
  let together = 0;
  let alone = 0;
  for (const [a, b] of pairs) {
    const [fa, fb] = [faceOf(trial, a), faceOf(trial, b)];
    const rel = relativeTurn(trial.turn[a]!, trial.turn[b]!);
    together += misfit(fa, fb, rel, gapMm).squares;
    alone += misfit(fa, fb, fitPair(fa, fb, rel, gapMm, PAIR_REACHES_MM), gapMm).squares;
  }
  return (together - alone) / pairs.length;
}

/** Mean squared distance from the gap, both ways, and the weight behind it. */
function misfit(
  a: ShardFace,
  b: ShardFace,
  rel: Turn,
  gapMm: number,
): { squares: number; samples: number } {
  const sums = makeFitSums();
  addFitSums(sums, a, b, rel, rel, 0, 0, gapMm, REACH_MM);
  addFitSums(sums, b, a, inverseTurn(rel), rel, 0, 0, gapMm, REACH_MM);
  return { squares: sums[9]! > 0 ? sums[10]! / sums[9]! : 0, samples: sums[9]! };
}
