/** The days and the state of knowledge that the address tells. */
import type { Moment } from '../../platform/api/windows.js';
import { readDay } from './days.js';

export interface ToldMoments {
  /** day of the drawing, null: today */
  readonly at: number | null;
  /** a second day to look at beside it */
  readonly beside: number | null;
  /** YYYY-MM-DD: what the archive knew at the end of that day; null: now */
  readonly known: string | null;
}

export function toldMoments(words: URLSearchParams): ToldMoments {
  const known = words.get('known');
  return {
    at: readDay(words.get('at')),
    beside: readDay(words.get('beside')),
    known: readDay(known) === null ? null : known,
  };
}

/** As the archive is asked. @param at YYYY-MM-DD */
export const momentOf = (at: string | null, known: string | null): Moment => ({
  ...(at === null ? {} : { at }),
  ...(known === null ? {} : { known }),
});
