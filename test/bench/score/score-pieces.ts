/** Pieces matched one to one by overlap, and the adjacency that follows from the match. */
import { assign } from './assignment.js';
import { overlapArea, region, unionOf } from './ring-overlap.js';
import type { RubbingResult, RubbingScore, RubbingTruth } from './rubbing-result.js';
import { mean, type Xy } from './score-math.js';

const LEAST_IOU = 0.8;
/** A result piece lying this much over optional pieces is not held against the result. */
const OPTIONAL_SHARE = 0.4;

export interface PieceMatch {
  /** Index of the truth piece for each matched index of a result piece. */
  truthOf: Map<number, number>;
  /** Result pieces that count for precision. */
  counted: Set<number>;
}

type PieceFigures = Pick<
  RubbingScore,
  | 'pieces_truth'
  | 'pieces_result'
  | 'pieces_required'
  | 'pieces_hit'
  | 'pieces_matched'
  | 'pieces_counted'
  | 'piece_recall'
  | 'piece_precision'
  | 'piece_f1'
  | 'piece_iou_mean'
  | 'piece_area_bias_pct'
>;

export function scorePieces(
  truth: RubbingTruth,
  result: RubbingResult,
  place: (p: Xy) => Xy,
): { figures: PieceFigures; match: PieceMatch } {
  const along = truth.pieces.map((p) => region(p.polygon));
  const cut = truth.pieces.map((p) => region(p.cut_polygon));
  const pieces = result.pieces ?? [];
  const found = pieces.map((p) => ({
    shape: region((p.polygon ?? p.cut_polygon ?? []).map(place)),
    against: p.polygon ? along : cut,
  }));
  const rows = along.length;
  const columns = found.length;
  const iou = new Float64Array(rows * columns);
  found.forEach((f, j) => {
    f.against.forEach((t, i) => {
      const both = overlapArea(f.shape, t);
      if (both > 0) iou[i * columns + j] = both / (f.shape.area + t.area - both);
    });
  });
  const truthOf = new Map<number, number>();
  if (iou.length > 0) {
    assign(
      iou.map((v) => -v),
      rows,
      columns,
    ).forEach((j, i) => {
      if (j >= 0 && iou[i * columns + j]! >= LEAST_IOU) truthOf.set(j, i);
    });
  }
  const isOptional = truth.pieces.map((p) => p.optional ?? false);
  const optional = along.filter((_, i) => isOptional[i]);
  const optionalArea = optional.length > 0 ? unionOf(optional) : undefined;
  const counted = new Set<number>();
  found.forEach(({ shape }, j) => {
    const excused =
      !truthOf.has(j) &&
      optionalArea !== undefined &&
      shape.area > 0 &&
      overlapArea(shape, optionalArea) >= OPTIONAL_SHARE * shape.area;
    if (!excused) counted.add(j);
  });
  const required = isOptional.filter((o) => !o).length;
  const hit = [...truthOf.values()].filter((i) => !isOptional[i]).length;
  const recall = required > 0 ? hit / required : 1;
  const precision = counted.size > 0 ? truthOf.size / counted.size : 0;
  const matched = [...truthOf].map(([j, i]) => ({
    area: found[j]!.shape.area,
    true: found[j]!.against[i]!.area,
    iou: iou[i * columns + j]!,
  }));
  return {
    figures: {
      pieces_truth: rows,
      pieces_result: columns,
      pieces_required: required,
      pieces_hit: hit,
      pieces_matched: truthOf.size,
      pieces_counted: counted.size,
      piece_recall: recall,
      piece_precision: precision,
      piece_f1: (2 * recall * precision) / Math.max(1e-9, recall + precision),
      piece_iou_mean: mean(matched.map((m) => m.iou)),
      piece_area_bias_pct: mean(matched.map((m) => ((m.area - m.true) / m.true) * 100)),
    },
    match: { truthOf, counted },
  };
}

/** F1 over pairs of pieces that share a lead; pairs with an optional piece are neither demanded nor false. */
export function adjacencyF1(truth: RubbingTruth, result: RubbingResult, match: PieceMatch): number {
  const optional = new Set(truth.pieces.filter((p) => p.optional).map((p) => p.id));
  const pairKey = (a: number, b: number): string => (a < b ? `${a} ${b}` : `${b} ${a}`);
  const isFree = (key: string): boolean => key.split(' ').some((id) => optional.has(Number(id)));
  const trueAll = new Set(truth.adjacency.map(({ a, b }) => pairKey(a, b)));
  const required = new Set([...trueAll].filter((key) => !isFree(key)));
  const indexOf = new Map((result.pieces ?? []).map((p, j) => [p.id, j]));
  const got = new Set<string>();
  let wrong = 0;
  for (const pair of result.adjacency ?? []) {
    const [idA, idB] = Array.isArray(pair) ? pair : [pair.a, pair.b];
    const a = indexOf.get(idA);
    const b = indexOf.get(idB);
    const ta = a === undefined ? undefined : match.truthOf.get(a);
    const tb = b === undefined ? undefined : match.truthOf.get(b);
    if (ta !== undefined && tb !== undefined) {
      const key = pairKey(truth.pieces[ta]!.id, truth.pieces[tb]!.id);
      if (trueAll.has(key)) got.add(key);
      else if (!isFree(key)) wrong++;
    } else if (a !== undefined && b !== undefined && match.counted.has(a) && match.counted.has(b)) {
      wrong++;
    }
  }
  const right = [...got].filter((key) => required.has(key)).length;
  const missed = required.size - right;
  return right + wrong + missed > 0 ? (2 * right) / (2 * right + wrong + missed) : 1;
}
