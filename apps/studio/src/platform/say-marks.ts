import { say } from './language/say.js';

/** More than these are counted: a list of a hundred panels says less than its beginning. */
const NAMED = 4;

/** 'SLM.wI.28a, SLM.wI.28b, SLM.wI.28c, SLM.wI.28d', or the first of them 'and 108 more' */
export function sayMarks(marks: readonly string[]): string {
  const named = marks.slice(0, marks.length === NAMED + 1 ? NAMED + 1 : NAMED).join(', ');
  const more = marks.length - NAMED;
  return more < 2 ? named : say('{named} and {more} more', { named, more });
}
