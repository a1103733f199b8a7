/** How long ago work was done, from the last year that its date may mean. */
import { say } from '../../platform/language/say.js';
import { kinds, others, steps } from '../hatches.js';
import type { Shade } from './showing.js';

const bounds = [5, 25, 100] as const;

export const ages: readonly Shade[] = [
  { key: 'age 0', words: say('within 5 years'), hatch: steps[0]! },
  { key: 'age 1', words: say('5 to 25 years ago'), hatch: kinds[0]! },
  { key: 'age 2', words: say('25 to 100 years ago'), hatch: kinds[1]! },
  { key: 'age 3', words: say('over 100 years ago'), hatch: steps[3]! },
  { key: 'age ?', words: say('done, no date'), hatch: others },
];

/**
 * @param happened EDTF
 * @param day YYYY-MM-DD that is looked back from
 */
export function ageKey(happened: string | null, day: string): string {
  const year = lastYear(happened);
  if (year === undefined) return 'age ?';
  const age = Number(day.slice(0, 4)) - year;
  return `age ${bounds.filter((bound) => age >= bound).length}`;
}

/** Of 1998, 1931~, 193X, 1870/1890 the last year that it may mean. */
function lastYear(happened: string | null): number | undefined {
  const years = [...(happened ?? '').matchAll(/\b(\d{2}(?:\d{2}|\dX|XX))(?=\D|$)/g)].map(
    ([, year]) => Number(year!.replaceAll('X', '9')),
  );
  return years.length === 0 ? undefined : Math.max(...years);
}
