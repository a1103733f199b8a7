/** Which bulges a studio wants looked at: its own thresholds, never an urgency. */
import type { BulgeFigures } from './bulge-figures.js';

export interface BulgeThresholds {
  /** Sagitta over chord from which one looks closely. */
  readonly lookRatio: number;
  /** Rise from which work is planned. */
  readonly planMm: number;
}

/** Common practice, no source: where a studio begins until it has set its own. */
export const USUAL_THRESHOLDS: BulgeThresholds = { lookRatio: 1 / 100, planMm: 38 };

export type BulgeWord = 'within' | 'look-closely' | 'plan-work' | 'cannot-tell';

export interface BulgeJudgement {
  readonly word: BulgeWord;
  /** Why, with the figures. */
  readonly sentence: string;
}

/**
 * A figure counts as beyond a threshold when it is so by more than its noise (two standard
 * deviations); between the two the readings cannot tell. These words are reminders: how urgent a
 * panel is says a person.
 */
export function judgeBulge(
  { maximumMm, lines }: Pick<BulgeFigures, 'maximumMm' | 'lines'>,
  { lookRatio, planMm }: BulgeThresholds = USUAL_THRESHOLDS,
): BulgeJudgement {
  const rise = Math.abs(maximumMm.value);
  const riseOff = 2 * maximumMm.sigma;
  const steepest = [...lines].sort((a, b) => b.sagittaRatio - a.sagittaRatio)[0];
  const ratio = steepest?.sagittaRatio ?? 0;
  const ratioOff = steepest === undefined ? 0 : (2 * steepest.sagittaMm.sigma) / steepest.chordMm;
  const one = ratio === 0 ? '' : `, 1 in ${Math.round(1 / ratio)} of its chord`;
  const told = `stands out ${rise.toFixed(1)} mm ± ${riseOff.toFixed(1)}${one}`;
  if (rise - riseOff > planMm) {
    return { word: 'plan-work', sentence: `${told}; more than ${planMm} mm` };
  }
  if (ratio - ratioOff > lookRatio) {
    return {
      word: 'look-closely',
      sentence: `${told}; more than 1 in ${Math.round(1 / lookRatio)}`,
    };
  }
  if (rise + riseOff > planMm || ratio + ratioOff > lookRatio) {
    return { word: 'cannot-tell', sentence: `${told}; the readings cannot tell it from the limit` };
  }
  return { word: 'within', sentence: told };
}
