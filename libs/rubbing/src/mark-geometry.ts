/** Small figures about marks that several steps need. */
import type { PictureKind } from './mark-bundle.js';
import type { MarkPlan } from './mark-plan.js';

/** Pixels to the millimetre from all that was measured, before anything is fitted. @param px marks, flat */
export function roughScale(plan: MarkPlan, px: ArrayLike<number>): number {
  if (plan.placesMm) return meanScale(plan.placesMm, px);
  let pixels = 0;
  let mm = 0;
  for (const d of plan.distances) {
    pixels += Math.hypot(px[2 * d.from]! - px[2 * d.to]!, px[2 * d.from + 1]! - px[2 * d.to + 1]!);
    mm += d.mm;
  }
  return pixels / mm;
}

/** Sum of all distances in pixels over the same in millimetres. */
export function meanScale(mm: ArrayLike<number>, px: ArrayLike<number>): number {
  const n = mm.length / 2;
  let a = 0;
  let b = 0;
  for (let i = 0; i < n; i++) {
    for (let j = 0; j < i; j++) {
      a += Math.hypot(px[2 * i]! - px[2 * j]!, px[2 * i + 1]! - px[2 * j + 1]!);
      b += Math.hypot(mm[2 * i]! - mm[2 * j]!, mm[2 * i + 1]! - mm[2 * j + 1]!);
    }
  }
  return a / b;
}

/**
 * Measurements beyond those that the map needs. A map has eight numbers; distances leave turn and shift out, so they need
 * five; a scan needs a turn and a shift at most, and its scale.
 */
export function spareMeasurements(
  plan: MarkPlan,
  picture: PictureKind,
  lensFromMarks: boolean,
): number {
  const lens = lensFromMarks ? 1 : 0;
  const n = plan.names.length;
  if (picture.kind === 'scan') return plan.placesMm ? 2 * n - 4 : plan.distances.length - 1;
  if (plan.parallelogramMm !== undefined) return 0;
  return Math.max(0, (plan.placesMm ? 2 * n - 8 : plan.distances.length - 5) - lens);
}

const WORDS = ['no', 'one', 'two', 'three', 'four', 'five', 'six', 'seven', 'eight', 'nine'];

/** "no spare measurement", "one spare measurement", "12 spare measurements". */
export function saySpare(spare: number): string {
  return `${WORDS[spare] ?? String(spare)} spare measurement${spare > 1 ? 's' : ''}`;
}
