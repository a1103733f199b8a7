/**
 * Where a day lies along the strip: 0 the oldest, 1 today. The scale is logarithmic in age, so that
 * this week and the last century both have room.
 */
export interface StripScale {
  readonly oldest: number;
  readonly today: number;
  readonly placeOf: (day: number) => number;
  /** the day at a place, whole */
  readonly dayAt: (place: number) => number;
}

/** Ages below this many days crowd together at the head. */
const fineDays = 20;

export function stripScale(oldest: number, today: number): StripScale {
  const span = Math.log1p(Math.max(1, today - oldest) / fineDays);
  return {
    oldest,
    today,
    placeOf: (day) =>
      1 - Math.log1p(Math.min(Math.max(0, today - day), today - oldest) / fineDays) / span,
    dayAt: (place) =>
      Math.round(today - fineDays * Math.expm1((1 - Math.min(1, Math.max(0, place))) * span)),
  };
}

/** Years that are written under the strip, far enough apart to be read; as day numbers of 1 January. */
export function stripYears(
  scale: StripScale,
  leastGap: number,
): readonly { year: number; at: number }[] {
  const yearOf = (day: number) => new Date(day * 86_400_000).getUTCFullYear();
  const [first, last] = [yearOf(scale.oldest), yearOf(scale.today)];
  const found: { year: number; at: number }[] = [];
  for (const step of [100, 50, 10, 5, 1])
    for (let year = Math.ceil(first / step) * step; year <= last; year += step) {
      const at = scale.placeOf(Math.round(Date.UTC(year, 0, 1) / 86_400_000));
      if (at < leastGap / 2 || at > 1 - leastGap) continue;
      if (found.every((known) => Math.abs(known.at - at) >= leastGap)) found.push({ year, at });
    }
  return found.sort((a, b) => a.at - b.at);
}
