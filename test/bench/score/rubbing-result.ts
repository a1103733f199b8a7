/** The neutral result of a rubbing and the truth it is compared with (format: fixtures/case-format.md). Lengths mm. */
import type { ScoredLead } from './lead-samples.js';
import type { Xy } from './score-math.js';

export interface RubbingResult {
  pieces?: { id?: number | string; polygon?: Xy[] | null; cut_polygon?: Xy[] | null }[];
  leads?: (ScoredLead & { id?: string; confidence?: number; doubts?: string[] })[];
  doubtful_places?: { xy: Xy; radius_mm: number; lead?: string | null }[];
  adjacency?:
    | ([number | string, number | string] | { a: number | string; b: number | string })[]
    | null;
  junctions?: (Xy | { xy: Xy })[] | null;
  lead_length_total_mm?: number | null;
}

export interface RubbingTruth {
  align?: string;
  pieces: { id: number; polygon: Xy[]; cut_polygon: Xy[]; optional?: boolean }[];
  /** `left` and `right`: pieces beside the lead, -1 outside. */
  leads: (ScoredLead & { length_mm: number; left?: number; right?: number })[];
  junctions: { xy: Xy; seen?: boolean }[];
  corners?: Xy[];
  adjacency: { a: number; b: number }[];
  lead_length_total_mm: number;
}

/** Figures of one comparison; undefined where there was nothing to measure. Names as in the case format. */
export interface RubbingScore {
  lead_pos_mean?: number | undefined;
  lead_pos_p95?: number | undefined;
  lead_pos_max?: number | undefined;
  lead_recall: number;
  /** Samples behind the position figures, and behind the width figures. */
  lead_samples?: number | undefined;
  width_samples?: number | undefined;
  lead_precision?: number | undefined;
  width_mae?: number | undefined;
  width_bias?: number | undefined;
  width_p95?: number | undefined;
  length_error_pct: number;
  length_error_seen_pct: number;
  /** Largest error of length among the true face widths with at least 5 % of the length that took wax. */
  width_class_length_error_pct: number;
  pieces_truth: number;
  pieces_result: number;
  pieces_required: number;
  /** For pooling over cases: required pieces found, all found, result pieces that count. */
  pieces_hit: number;
  pieces_matched: number;
  pieces_counted: number;
  piece_recall: number;
  piece_precision: number;
  piece_f1: number;
  piece_iou_mean?: number | undefined;
  piece_area_bias_pct?: number | undefined;
  adjacency_f1?: number;
  junction_recall: number;
  junction_precision: number;
  junction_mean?: number | undefined;
  junction_p95?: number | undefined;
}
