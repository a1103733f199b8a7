import { addFitSums, makeFitSums } from './fit-sums.js';
import { faceOf, type Layout, middle } from './layout.js';
import { inverseTurn, nudgedTurn, relativeTurn } from './pose.js';
import { solvePositive } from './solve-positive.js';

const REACH_MM = 0.7;
/** Holds what nothing else does: small beside one millimetre of edge. */
const HOLD = 0.2;
const LOCKED_HOLD = 1e7;

/** Pairs of a group's members near enough to touch. */
export function touching(l: Layout, group: number): [number, number][] {
  const members = l.members[group]!;
  const middles = members.map((i) => middle(l.shards[i]!, l.side[i]!, l.turn[i]!));
  const pairs: [number, number][] = [];
  for (let p = 0; p < members.length; p++) {
    for (let q = p + 1; q < members.length; q++) {
      const far = Math.hypot(middles[p]![0] - middles[q]![0], middles[p]![1] - middles[q]![1]);
      const reach = l.shards[members[p]!]!.radiusMm + l.shards[members[q]!]!.radiusMm;
      if (far < reach + 2) pairs.push([members[p]!, members[q]!]);
    }
  }
  return pairs;
}

/**
 * Least squares over all poses of a group: every edge sample that faces a neighbour's edge wants to lie `gapMm` from it.
 * Locked shards stay.
 */
export function settleGroup(
  l: Layout,
  group: number,
  gapMm: number,
  rounds: number,
  locked: ReadonlySet<number> = new Set(),
): void {
  const members = l.members[group]!;
  if (members.length < 2) return;
  const place = new Map(members.map((i, k) => [i, 3 * k]));
  const n = 3 * members.length;
  const sums = makeFitSums();
  for (let round = 0; round < rounds; round++) {
    const matrix = new Float64Array(n * n);
    const right = new Float64Array(n);
    const [cx, cy] = middle(l.shards[members[0]!]!, l.side[members[0]!]!, l.turn[members[0]!]!);
    for (const [a, b] of touching(l, group)) {
      const rel = relativeTurn(l.turn[a]!, l.turn[b]!);
      sums.fill(0);
      addFitSums(sums, faceOf(l, a), faceOf(l, b), rel, l.turn[a]!, cx, cy, gapMm, REACH_MM);
      addFitSums(
        sums,
        faceOf(l, b),
        faceOf(l, a),
        inverseTurn(rel),
        l.turn[b]!,
        cx,
        cy,
        gapMm,
        REACH_MM,
        -1,
      );
      addPair(matrix, right, n, place.get(a)!, place.get(b)!, sums);
    }
    for (let k = 0; k < members.length; k++) {
      const hold = locked.has(members[k]!) ? LOCKED_HOLD : HOLD;
      matrix[3 * k * (n + 1)]! += hold;
      matrix[(3 * k + 1) * (n + 1)]! += hold;
      matrix[(3 * k + 2) * (n + 1)]! += hold * 400;
    }
    const step = solvePositive(matrix, right);
    if (step === null) return;
    for (let k = 0; k < members.length; k++) {
      const i = members[k]!;
      l.turn[i] = nudgedTurn(l.turn[i]!, cx, cy, step[3 * k]!, step[3 * k + 1]!, step[3 * k + 2]!);
    }
  }
}

const SYMMETRIC = [0, 1, 2, 1, 3, 4, 2, 4, 5];

/** The sums are for a motion of b; a's motion about the same point does the opposite. */
function addPair(
  matrix: Float64Array,
  right: Float64Array,
  n: number,
  a: number,
  b: number,
  sums: Float64Array,
): void {
  for (let r = 0; r < 3; r++) {
    for (let c = 0; c < 3; c++) {
      const v = sums[SYMMETRIC[3 * r + c]!]!;
      matrix[(a + r) * n + a + c]! += v;
      matrix[(b + r) * n + b + c]! += v;
      matrix[(a + r) * n + b + c]! -= v;
      matrix[(b + r) * n + a + c]! -= v;
    }
    const v = sums[6 + r]!;
    right[b + r]! -= v;
    right[a + r]! += v;
  }
}
