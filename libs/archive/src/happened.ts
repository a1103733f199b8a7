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

/** First day that the date may mean, as YYYY-MM-DD; null when it is open or before year 1. */
export function firstDay(text: string | null): string | null {
  if (text === null) return null;
  const { min } = read(text, 'happened');
  const start = new Date(min);
  if (Number.isNaN(start.getTime())) return null;
  const day = start.toISOString();
  return /^\d{4}-/.test(day) ? day.slice(0, 10) : null;
}

// The grammar is slow (0.2 ms a date) and a day's records share few dates.
const recent = new RecentCache<{ min: number }>(2000);

function read(text: string, field: string): { min: number } {
  const known = recent.get(text);
  if (known !== undefined) return known;
  try {
    const { min } = edtf(text);
    recent.set(text, { min });
    return { min };
  } catch (cause) {
    throw new Problem(
      'date-invalid',
      `${field}: ${JSON.stringify(text)} is no EDTF date. Write e.g. 2026-11-25, 2026-11, 1931~ (about), 1931? (uncertain) or 1870/1890.`,
      { field },
      { cause },
    );
  }
}
