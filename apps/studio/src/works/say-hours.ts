import { say } from '../platform/language/say.js';
import { sayFixed } from '../platform/say-number.js';

/** Time of work, as a studio speaks of it. */
export const sayHours = (minutes: number): string =>
  say('{hours} h', { hours: sayFixed(minutes / 60, 1) });

/** What follows the hours done: 'done of 12.0 h, 9.5 h to 15.0 h'; the range only where there is one. */
export function sayExpected(
  expected: { readonly low: number; readonly likely: number; readonly high: number } | null,
): string {
  if (expected === null) return say('done; no estimate says how many there will be');
  const [low, likely, high] = [expected.low, expected.likely, expected.high].map(sayHours) as [
    string,
    string,
    string,
  ];
  return low === high
    ? say('done of {likely}', { likely })
    : say('done of {likely}, {low} to {high}', { likely, low, high });
}
