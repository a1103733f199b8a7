/** A figure that is not known exactly: likely value and the range in which four of five lie. */
import { EstimateError } from './estimate-error.js';

export interface Range {
  readonly low: number;
  readonly likely: number;
  readonly high: number;
}

export const exactly = (value: number): Range => ({ low: value, likely: value, high: value });

export const scaled = ({ low, likely, high }: Range, by: number): Range => ({
  low: low * by,
  likely: likely * by,
  high: high * by,
});

/** Both ends added as they are: what drives one figure up drives the next up too, so nothing cancels. */
export const added = (a: Range, b: Range): Range => ({
  low: a.low + b.low,
  likely: a.likely + b.likely,
  high: a.high + b.high,
});

/** Product of two ranges of values at or above 0. */
export const times = (a: Range, b: Range): Range => ({
  low: a.low * b.low,
  likely: a.likely * b.likely,
  high: a.high * b.high,
});

/**
 * What earlier work tells: median, and the 10th to 90th percentile as its range.
 *
 * Percentiles between two values lie on the line between them. Source: Hyndman and Fan, "Sample
 * Quantiles in Statistical Packages", The American Statistician 50 (1996), definition 7.
 *
 * @throws {EstimateError} `empty` without a value
 */
export function learned(values: readonly number[]): Range {
  if (values.length === 0) {
    throw new EstimateError('empty', 'nothing can be learned from no earlier work');
  }
  const sorted = [...values].sort((a, b) => a - b);
  const at = (ratio: number) => {
    const place = (sorted.length - 1) * ratio;
    const below = Math.floor(place);
    const above = Math.min(below + 1, sorted.length - 1);
    return sorted[below]! + (sorted[above]! - sorted[below]!) * (place - below);
  };
  return { low: at(0.1), likely: at(0.5), high: at(0.9) };
}
