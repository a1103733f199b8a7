/**
 * Condition, urgency and recommendation in classes 0 to 3.
 *
 * The published standard for condition surveys (EN 16096:2012) has such classes; its wording was
 * not seen, so every word here is our own. "Not inspected" and "not accessible" are answers of
 * their own and never class 0; a missing class stays missing.
 */
import { VocabularyError } from './vocabulary-error.js';

export type ClassNumber = 0 | 1 | 2 | 3;
export type ConditionClass = ClassNumber | 'not-inspected' | 'not-accessible';

export const CONDITION_WORDS: Record<ConditionClass, { label: string; meaning: string }> = {
  0: { label: 'sound', meaning: 'nothing found that needs watching or work' },
  1: { label: 'slight', meaning: 'small faults; the glass and lead still do their work' },
  2: { label: 'marked', meaning: 'faults that grow or let water in; work will be needed' },
  3: { label: 'severe', meaning: 'glass or paint is being lost, or the panel no longer holds' },
  'not-inspected': { label: 'not inspected', meaning: 'nobody looked' },
  'not-accessible': { label: 'not accessible', meaning: 'it could not be reached to be looked at' },
};

export const URGENCY_WORDS: Record<ClassNumber, { label: string; meaning: string }> = {
  0: { label: 'no date', meaning: 'look again at the next survey' },
  1: { label: 'in the planned round', meaning: 'with the next works on this window' },
  2: { label: 'soon', meaning: 'do not leave it for another round of works' },
  3: { label: 'now', meaning: 'act or make safe at once' },
};

export const RECOMMENDATION_WORDS: Record<ClassNumber, { label: string; meaning: string }> = {
  0: { label: 'leave', meaning: 'no work' },
  1: {
    label: 'maintain',
    meaning: 'upkeep and prevention: gutters, seals, protection, cleaning of the surround',
  },
  2: { label: 'repair', meaning: 'limited repair, or a closer look first' },
  3: { label: 'treat', meaning: 'conservation in the studio, planned on a diagnosis' },
};

/**
 * Class of a whole from the classes of its parts: the highest seen. Never a mean, and never class 0
 * because nobody looked: parts without a look leave the whole without a class unless another part
 * decides it.
 */
export function summaryClass(parts: readonly (ConditionClass | null)[]): ConditionClass | null {
  const seen = parts.filter((part): part is ClassNumber => typeof part === 'number');
  if (seen.length > 0) {
    const worst = seen.reduce((a, b) => (b > a ? b : a));
    // An unseen part may be worse, but a class found stands; 0 would say more than is known.
    return worst === 0 && seen.length < parts.length ? unseen(parts) : worst;
  }
  return parts.length === 0 ? null : unseen(parts);
}

function unseen(parts: readonly (ConditionClass | null)[]): ConditionClass | null {
  if (parts.includes('not-accessible')) return 'not-accessible';
  return parts.includes('not-inspected') ? 'not-inspected' : null;
}

/**
 * A class from 0 to 3 needs someone who looked, a date, and something they saw.
 *
 * @throws {VocabularyError} `bad-class`
 */
export function checkConditionClass(given: {
  readonly conditionClass: ConditionClass;
  readonly observer: string | null;
  readonly happened: string | null;
  readonly observations: number;
}): void {
  const { conditionClass, observer, happened, observations } = given;
  if (typeof conditionClass !== 'number') return;
  if (![0, 1, 2, 3].includes(conditionClass)) {
    throw new VocabularyError(
      'bad-class',
      `a condition class is 0, 1, 2 or 3, got ${conditionClass}`,
    );
  }
  const missing = [
    ...(observer === null || observer.trim() === '' ? ['who looked'] : []),
    ...(happened === null ? ['when'] : []),
    ...(observations < 1 ? ['at least one observation'] : []),
  ];
  if (missing.length > 0) {
    throw new VocabularyError('bad-class', `a condition class needs ${missing.join(' and ')}`);
  }
}
