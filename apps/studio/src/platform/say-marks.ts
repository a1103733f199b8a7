import { say } from './language/say.js';

/** More than these are counted: a list of a hundred panels says less than its beginning. */
const NAMED = 4;

/** 'SLM.wI.28a, SLM.wI.28b, SLM.wI.28c, SLM.wI.28d', or the first of them 'and 108 more' */
export function sayMarks(marks: readonly string[]): string {
  // one more takes no more room than its number
  if (marks.length <= NAMED + 1) return marks.join(', ');
  const named = marks.slice(0, NAMED).join(', ');
  return say('{named} and {more} more', { named, more: marks.length - NAMED });
}
