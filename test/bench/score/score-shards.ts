/**
 * Scores a proposed assembly against the truth: after one common alignment a shard is placed when its centroid is within
 * 1.5 mm, its rotation within 3° and the right face shows.
 */
import { fitRigid } from './rigid-align.js';
import type { Xy } from './score-math.js';

type Matrix = readonly (readonly number[])[];

export interface ShardsTruth {
  shards: { id: string; px_to_mm: Matrix; centroid_px: Xy; area_mm2: number }[];
  adjacency: { a: string; b: string; shared_mm: number }[];
  missing_area_mm2: number;
  mirror_free?: boolean;
}

export interface ShardsResult {
  placements: { id: string; matrix: Matrix; certainty?: string }[];
  adjacency?: ([string, string] | { a: string; b: string; length_mm?: number })[];
  missing_area_mm2?: number;
}

export interface ShardsScore {
  shards: number;
  placed: number;
  right: number;
  /** Ids of placed shards that lie wrong. */
  wrong: string[];
  rightRatio: number;
  rightAreaRatio: number;
  meanPositionMm: number;
  adjacencyF1: number | undefined;
  missingAreaErrorMm2: number | undefined;
}

const CENTROID_MM = 1.5;
const ROTATION_DEG = 3;
/** Joints shorter than this are not demanded. */
const DEMANDED_MM = 5;

interface Frame {
  m: [number, number, number, number];
  t: Xy;
}

export function scoreShards(truth: ShardsTruth, result: ShardsResult): ShardsScore {
  const known = new Map(truth.shards.map((s) => [s.id, s]));
  const placed = result.placements.filter((p) => known.has(p.id));
  const area = (ids: Iterable<string>): number => {
    let sum = 0;
    for (const id of ids) sum += known.get(id)!.area_mm2;
    return sum;
  };
  const errors = (f: Frame): Map<string, [number, number]> =>
    new Map(placed.map((p) => [p.id, errorOf(f, p.matrix, known.get(p.id)!)]));
  const within = (f: Frame, mm: number, deg: number): string[] =>
    [...errors(f)].filter(([, [d, a]]) => d <= mm && a <= deg).map(([id]) => id);
  let best: Frame | undefined;
  let most = -1;
  for (const p of placed) {
    const frame = frameFrom(p.matrix, known.get(p.id)!);
    const isMirrored = frame.m[0] * frame.m[3] - frame.m[1] * frame.m[2] < 0;
    if (isMirrored && truth.mirror_free !== true) continue;
    const got = area(within(frame, 2 * CENTROID_MM, 2 * ROTATION_DEG));
    if (got > most) [best, most] = [frame, got];
  }
  let right: string[] = [];
  let meanPositionMm = Number.NaN;
  if (best !== undefined) {
    for (let round = 0; round < 3; round++) {
      const near = within(best, 2 * CENTROID_MM, 2 * ROTATION_DEG);
      if (near.length < 2) break;
      best = bestFrame(
        placed
          .filter((p) => near.includes(p.id))
          .map((p) => [centroid(p.matrix, known.get(p.id)!), trueCentroid(known.get(p.id)!)]),
        best,
      );
    }
    const all = errors(best);
    right = within(best, CENTROID_MM, ROTATION_DEG);
    meanPositionMm = right.reduce((s, id) => s + all.get(id)![0], 0) / right.length;
  }
  return {
    shards: truth.shards.length,
    placed: placed.length,
    right: right.length,
    wrong: placed.map((p) => p.id).filter((id) => !right.includes(id)),
    rightRatio: right.length / truth.shards.length,
    rightAreaRatio: area(right) / area(known.keys()),
    meanPositionMm,
    adjacencyF1: adjacencyF1(truth, result),
    missingAreaErrorMm2:
      result.missing_area_mm2 === undefined
        ? undefined
        : result.missing_area_mm2 - truth.missing_area_mm2,
  };
}

type TrueShard = ShardsTruth['shards'][number];

const apply = (m: Matrix, [x, y]: Xy): Xy => [
  m[0]![0]! * x + m[0]![1]! * y + m[0]![2]!,
  m[1]![0]! * x + m[1]![1]! * y + m[1]![2]!,
];
const centroid = (m: Matrix, s: TrueShard): Xy => apply(m, s.centroid_px);
const trueCentroid = (s: TrueShard): Xy => apply(s.px_to_mm, s.centroid_px);

/** Linear part scaled to area 1. */
function linear(m: Matrix): [number, number, number, number] {
  const [a, b, c, d] = [m[0]![0]!, m[0]![1]!, m[1]![0]!, m[1]![1]!];
  const k = Math.sqrt(Math.abs(a * d - b * c));
  return [a / k, b / k, c / k, d / k];
}

const times = (p: number[], q: number[]): [number, number, number, number] => [
  p[0]! * q[0]! + p[1]! * q[2]!,
  p[0]! * q[1]! + p[1]! * q[3]!,
  p[2]! * q[0]! + p[3]! * q[2]!,
  p[2]! * q[1]! + p[3]! * q[3]!,
];
const transposed = ([a, b, c, d]: number[]): [number, number, number, number] => [a!, c!, b!, d!];

function moved(f: Frame, [x, y]: Xy): Xy {
  return [f.m[0] * x + f.m[1] * y + f.t[0], f.m[2] * x + f.m[3] * y + f.t[1]];
}

/** The frame in which this one shard lies right. */
function frameFrom(m: Matrix, s: TrueShard): Frame {
  const rotation = times(linear(s.px_to_mm), transposed(linear(m)));
  const [x, y] = moved({ m: rotation, t: [0, 0] }, centroid(m, s));
  const [tx, ty] = trueCentroid(s);
  return { m: rotation, t: [tx - x, ty - y] };
}

function errorOf(f: Frame, m: Matrix, s: TrueShard): [number, number] {
  const [x, y] = moved(f, centroid(m, s));
  const [tx, ty] = trueCentroid(s);
  const d = times(times(f.m, linear(m)), transposed(linear(s.px_to_mm)));
  const isOver = d[0] * d[3] - d[1] * d[2] < 0;
  const degrees = isOver ? 180 : Math.abs((Math.atan2(d[2], d[0]) * 180) / Math.PI);
  return [Math.hypot(x - tx, y - ty), degrees];
}

/** Least-squares turn (mirrored as `like` is) and shift between paired places. */
function bestFrame(pairs: readonly (readonly [Xy, Xy])[], like: Frame): Frame {
  const flip = like.m[0] * like.m[3] - like.m[1] * like.m[2] < 0 ? -1 : 1;
  const { cos, sin, tx, ty } = fitRigid(
    pairs.map(([[x, y]]) => [flip * x, y]),
    pairs.map(([, to]) => to),
  );
  return { m: [flip * cos, -sin, flip * sin, cos], t: [tx, ty] };
}

function adjacencyF1(truth: ShardsTruth, result: ShardsResult): number | undefined {
  if (result.adjacency === undefined) return undefined;
  const key = (a: string, b: string): string => [a, b].sort().join(' ');
  const said = new Set(result.adjacency.map((p) => (Array.isArray(p) ? key(...p) : key(p.a, p.b))));
  const all = new Set(truth.adjacency.map((p) => key(p.a, p.b)));
  const demanded = truth.adjacency
    .filter((p) => p.shared_mm >= DEMANDED_MM)
    .map((p) => key(p.a, p.b));
  const hit = demanded.filter((k) => said.has(k)).length;
  const falseOnes = [...said].filter((k) => !all.has(k)).length;
  return (2 * hit) / (2 * hit + falseOnes + (demanded.length - hit));
}
