/** The days that an uncertain date may mean, wide enough to be searched by. */
import { daysAsRecorded, daysOf } from './happened.js';

/** How far "about" reaches, in months on both sides: ours, there is no rule for it in EDTF. */
const ABOUT_MONTHS = { year: 60, month: 12, day: 1 } as const;

export interface DateSpan {
  /** YYYY-MM-DD; null: open, or before year 1 */
  readonly first: string | null;
  readonly last: string | null;
  /** false where the source itself doubts the date (`?`, `%`): it may lie elsewhere altogether */
  readonly isSure: boolean;
}

/**
 * First and last day that a date may mean, "about" (`~`, `%`) widened: 5 years on both sides of a year,
 * a year of a month, a month of a day. Each end of a range by its own mark.
 *
 * @throws {Problem} `date-invalid`
 */
export function spanOf(text: string, field = 'happened'): DateSpan {
  return widened(text, daysOf(text, field));
}

/** As {@link spanOf}, ended by the day of its entry: what was recorded had happened by then. */
export function spanAsRecorded(happened: string | null, recordedAt: Date): DateSpan {
  const days = daysAsRecorded(happened, recordedAt);
  if (happened === null) return { ...days, isSure: true };
  const { first, last, isSure } = widened(happened, days);
  const recorded = recordedAt.toISOString().slice(0, 10);
  const isEnded = last !== null && last > recorded && (days.last ?? '') <= recorded;
  return { first, last: isEnded ? recorded : last, isSure };
}

function widened(text: string, { first, last }: { first: string | null; last: string | null }) {
  const parts = text.split('/');
  return {
    first: first === null ? null : moved(first, -aboutMonths(parts[0]!)),
    last: last === null ? null : moved(last, aboutMonths(parts.at(-1)!)),
    isSure: !/[?%]/.test(text),
  };
}

function aboutMonths(part: string): number {
  if (!/[~%]/.test(part)) return 0;
  const plain = part.replace(/[~%?]/g, '');
  if (/^\d{4}-\w{2}-\w{2}$/.test(plain)) return ABOUT_MONTHS.day;
  return /^\d{4}-\w{2}$/.test(plain) ? ABOUT_MONTHS.month : ABOUT_MONTHS.year;
}

function moved(day: string, months: number): string | null {
  if (months === 0) return day;
  const date = new Date(`${day}T00:00:00Z`);
  const dayOfMonth = date.getUTCDate();
  date.setUTCDate(1);
  date.setUTCMonth(date.getUTCMonth() + months);
  const lastOfMonth = new Date(date);
  lastOfMonth.setUTCMonth(date.getUTCMonth() + 1, 0);
  date.setUTCDate(Math.min(dayOfMonth, lastOfMonth.getUTCDate()));
  const text = date.toISOString();
  return /^\d{4}-/.test(text) ? text.slice(0, 10) : null;
}
