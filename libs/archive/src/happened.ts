import edtf from 'edtf';
import { z } from 'zod';
import { Problem } from '#libs/problem';
import { RecentCache } from './recent-cache.js';

/** EDTF text as claimed; checked by {@link checkedEdtf}. */
export const happenedSchema = z
  .string()
  .min(1)
  .max(128)
  .describe('when it happened: EDTF, e.g. 2026-11-25, 1931~, 1870/1890');

/**
 * ISO 8601-2 (EDTF) levels 0 to 2, by the edtf package.
 *
 * @returns the text unchanged, or null
 * @throws {Problem} `date-invalid`
 */
export function checkedEdtf(text: string | null | undefined, field = 'happened'): string | null {
  if (text === undefined || text === null) return null;
  read(text, field);
  return text;
}

/** First and last day that something may have happened on, YYYY-MM-DD; null where it is open. */
export interface Days {
  readonly first: string | null;
  readonly last: string | null;
}

/**
 * Days that a date may mean; both null without one.
 *
 * @throws {Problem} `date-invalid`
 */
export function daysOf(text: string | null, field = 'happened'): Days {
  return text === null ? { first: null, last: null } : read(text, field);
}

/** First day that the date may mean, as YYYY-MM-DD; null when it is open or before year 1. */
export const firstDay = (text: string | null): string | null => daysOf(text).first;

/**
 * The days that a recorded thing may have happened on. What was recorded had happened by then, so a
 * span that runs on past its entry ends with it, and what has no date is dated by its entry. A date
 * wholly after the entry stays as it was claimed.
 */
export function daysAsRecorded(happened: string | null, recordedAt: Date): Days {
  const recorded = recordedAt.toISOString().slice(0, 10);
  if (happened === null) return { first: recorded, last: recorded };
  const { first, last } = daysOf(happened);
  if (first !== null && first > recorded) return { first, last };
  return { first, last: last === null || last > recorded ? recorded : last };
}

function dayOf(time: number | null): string | null {
  // an end that nobody knows, as in `1870/`
  if (time === null) return null;
  const moment = new Date(time);
  if (Number.isNaN(moment.getTime())) return null;
  const day = moment.toISOString();
  return /^\d{4}-/.test(day) ? day.slice(0, 10) : null;
}

// The grammar is slow (0.2 ms a date) and a day's records share few dates.
const recent = new RecentCache<Days>(2000);

function read(text: string, field: string): Days {
  const known = recent.get(text);
  if (known !== undefined) return known;
  try {
    const { min, max } = edtf(text);
    const days = { first: dayOf(min), last: dayOf(max) };
    recent.set(text, days);
    return days;
  } catch (cause) {
    throw new Problem(
      'date-invalid',
      `${field}: ${JSON.stringify(text)} is no EDTF date. Write e.g. 2026-11-25, 2026-11, 1931~ (about), 1931? (uncertain) or 1870/1890.`,
      { field },
      { cause },
    );
  }
}
