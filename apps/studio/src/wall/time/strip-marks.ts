/** What happened, as marks along the strip: spans where a date is uncertain, crowds as one mark. */
import type { Happening, HappeningKind } from '../../platform/api/windows.js';
import { say } from '../../platform/language/say.js';
import { dayNumber } from './days.js';
import type { StripScale } from './strip-scale.js';

export const lanes = ['survey', 'work', 'finding', 'picture'] as const;
export type Lane = (typeof lanes)[number];

export const laneWords: Readonly<Record<Lane, string>> = {
  survey: say('surveys'),
  work: say('work'),
  finding: say('findings'),
  picture: say('pictures'),
};

const laneOf: Readonly<Record<HappeningKind, Lane>> = {
  survey: 'survey',
  work: 'work',
  moved: 'work',
  finding: 'finding',
  photograph: 'picture',
  rubbing: 'picture',
  drawing: 'picture',
};

export interface StripMark {
  readonly lane: Lane;
  /** places along the strip, 0 to 1 */
  readonly from: number;
  readonly to: number;
  readonly count: number;
  /** the date is a span of more than a day */
  readonly isSpan: boolean;
}

/** @param leastGap marks of one lane that are nearer than this share of the strip become one */
export function stripMarks(
  happenings: readonly Happening[],
  scale: StripScale,
  leastGap: number,
): readonly StripMark[] {
  const placed = happenings
    .map((happening): StripMark => {
      const last = lastDayOf(happening) ?? scale.today;
      const first = happening.first === null ? scale.oldest : dayNumber(happening.first);
      return {
        lane: laneOf[happening.kind],
        from: scale.placeOf(first),
        to: scale.placeOf(last),
        count: happening.count,
        isSpan: first !== last,
      };
    })
    .sort((a, b) => a.to - b.to);
  const marks: StripMark[] = [];
  for (const lane of lanes) {
    const own: StripMark[] = [];
    for (const mark of placed.filter((one) => one.lane === lane)) {
      const before = own.at(-1);
      const isNear = before !== undefined && mark.to - before.to < leastGap;
      if (isNear)
        own[own.length - 1] = {
          ...before,
          from: Math.min(before.from, mark.from),
          to: mark.to,
          count: before.count + mark.count,
          isSpan: before.isSpan || mark.isSpan,
        };
      else own.push(mark);
    }
    marks.push(...own);
  }
  return marks;
}

/** The day by which it had surely happened; null where only its end is open. */
export const lastDayOf = ({ last }: Happening): number | null =>
  last === null ? null : dayNumber(last);

/** The first day that it may have happened on; its last where that is open. */
export const firstDayOf = (one: Happening): number | null =>
  one.first === null ? lastDayOf(one) : dayNumber(one.first);

/** Days on which something had just happened, oldest first: where arrow keys stop. */
export function stops(happenings: readonly Happening[], today: number): readonly number[] {
  const days = new Set(happenings.map((one) => lastDayOf(one) ?? today));
  return [...days].filter((day) => day < today).sort((a, b) => a - b);
}

/** The next stop from a day; today where there is none later, the oldest where none is earlier. */
export function stepStop(all: readonly number[], day: number, by: 1 | -1, today: number): number {
  if (by > 0) return all.find((stop) => stop > day) ?? today;
  return all.findLast((stop) => stop < day) ?? all[0] ?? day;
}

/** What had just happened by a day, the latest first. */
export function justBefore(happenings: readonly Happening[], day: number): readonly Happening[] {
  const before = happenings.filter((one) => (lastDayOf(one) ?? Infinity) <= day);
  const newest = Math.max(...before.map((one) => lastDayOf(one) ?? -Infinity));
  return before.filter((one) => lastDayOf(one) === newest);
}

/** Those whose date leaves open whether they had happened by a day. */
export const perhapsBy = (happenings: readonly Happening[], day: number): readonly Happening[] =>
  happenings.filter(
    ({ first, last }) =>
      (first === null || dayNumber(first) <= day) && (last === null || dayNumber(last) > day),
  );
