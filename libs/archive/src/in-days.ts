const DAY_MS = 24 * 60 * 60 * 1000;

/** Whole days from a moment to now. */
export function daysBetween(then: Date, now: Date): number {
  return Math.floor((now.getTime() - then.getTime()) / DAY_MS);
}

/** How long ago, as one says it: 'less than a day ago', 'a day ago', '3 days ago'. */
export function inDays(then: Date, now: Date): string {
  const days = daysBetween(then, now);
  return days <= 0 ? 'less than a day ago' : days === 1 ? 'a day ago' : `${days} days ago`;
}
