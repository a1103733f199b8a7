/** Days as whole numbers since 1970-01-01, so that they can be reckoned with. */

import { manner } from '../../platform/language/manner.js';
import { dateLocale } from '../../platform/language/tongue.js';

const DAY_MS = 86_400_000;

/** @param text YYYY-MM-DD */
export const dayNumber = (text: string): number =>
  Math.round(Date.parse(`${text}T00:00Z`) / DAY_MS);

export const dayText = (day: number): string => new Date(day * DAY_MS).toISOString().slice(0, 10);

/** The days that a text in a link names; null when it names none. */
export function readDay(text: string | null): number | null {
  if (text === null || !/^\d{4}-\d{2}-\d{2}$/.test(text)) return null;
  const day = dayNumber(text);
  return Number.isNaN(day) ? null : day;
}

const words = new Intl.DateTimeFormat(dateLocale(), {
  day: 'numeric',
  month: 'short',
  year: 'numeric',
  timeZone: 'UTC',
});

/** '12 May 2019', or as ISO 8601 writes it */
export const sayDay = (day: number): string =>
  manner().days === 'iso' ? dayText(day) : words.format(day * DAY_MS);

/** The same day some years before or after. */
export function yearsOn(day: number, years: number): number {
  const date = new Date(day * DAY_MS);
  date.setUTCFullYear(date.getUTCFullYear() + years);
  return Math.round(date.getTime() / DAY_MS);
}
