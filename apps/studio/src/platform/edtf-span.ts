/**
 * When something happened, as a stretch of the calendar in years with fractions. Reads the forms of
 * EDTF (ISO 8601-2) that records use: 1998, 1998-03, 1998-03-04, with ~ ? %, 19XX, 193X, and
 * from/to with an open end. Anything else: undefined, never a guess.
 */
export interface Span {
  readonly from: number;
  readonly to: number;
}

const point = /^(\d{4}|\d{3}X|\d{2}XX)(?:-(\d{2}))?(?:-(\d{2}))?(?:T[^/]*)?[~?%]?$/;

export function edtfSpan(text: string): Span | undefined {
  const [first = '', last, more] = text.trim().split('/');
  if (more !== undefined) return undefined;
  const start = pointSpan(first);
  if (last === undefined) return start;
  if (!start) return undefined;
  if (last === '' || last === '..') return start;
  const end = pointSpan(last);
  return end && end.to >= start.from ? { from: start.from, to: end.to } : undefined;
}

function pointSpan(text: string): Span | undefined {
  const match = point.exec(text);
  if (!match) return undefined;
  const [, year = '', month, day] = match;
  const from = Number(year.replaceAll('X', '0'));
  const years = year.endsWith('XX') ? 100 : year.endsWith('X') ? 10 : 1;
  if (month === undefined || years > 1) return { from, to: from + years };
  const m = Number(month) - 1;
  if (m < 0 || m > 11) return undefined;
  if (day === undefined) return { from: from + m / 12, to: from + (m + 1) / 12 };
  const d = Number(day) - 1;
  if (d < 0 || d > 30) return undefined;
  return { from: from + m / 12 + d / 372, to: from + m / 12 + (d + 1) / 372 };
}
