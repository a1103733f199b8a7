/** Events along a length of came: old at the foot, today at the head; crowded ones become one mark. */
import { edtfSpan } from '../platform/edtf-span.js';

export interface Happening {
  readonly happened: string;
  readonly words: string;
}

export interface TimeMark {
  /** 0 at the head (today), 1 at the foot (the oldest) */
  readonly at: number;
  readonly words: string;
  readonly count: number;
  /** EDTF of the youngest of them: what 'happened up to' is set to */
  readonly until: string;
}

/**
 * The scale is logarithmic in age, so that this week and the last century both have room.
 * @param leastGap smallest distance between two marks, as a share of the length
 */
export function timeMarks(
  happenings: readonly Happening[],
  nowYear: number,
  leastGap: number,
): readonly TimeMark[] {
  const dated = happenings
    .flatMap((happening) => {
      const span = edtfSpan(happening.happened);
      return span ? [{ ...happening, age: Math.max(0, nowYear - span.to) }] : [];
    })
    .sort((a, b) => a.age - b.age);
  const oldest = dated.at(-1)?.age ?? 0;
  if (dated.length === 0) return [];
  const place = (age: number) =>
    oldest === 0 ? 0.5 : Math.log1p(age * 24) / Math.log1p(oldest * 24);
  const marks: { at: number; members: typeof dated }[] = [];
  for (const item of dated) {
    const at = leastGap + place(item.age) * (1 - leastGap);
    const last = marks.at(-1);
    if (last && at - last.at < leastGap) last.members.push(item);
    else marks.push({ at, members: [item] });
  }
  return marks.map(({ at, members }) => ({
    at,
    count: members.length,
    until: members[0]!.happened,
    words: wordsOf(members),
  }));
}

function wordsOf(members: readonly Happening[]): string {
  const years = [...new Set(members.map((member) => member.happened.slice(0, 4)))].sort();
  const when = years.length === 1 ? years[0]! : `${years[0]!}–${years.at(-1)!}`;
  const kinds = [...new Set(members.map((member) => member.words))];
  const what =
    kinds.length === 1 ? kinds[0]! : members.length > 1 ? `${members.length} records` : kinds[0]!;
  return `${what} ${when}`;
}
