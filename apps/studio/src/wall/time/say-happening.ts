import type { Happening } from '../../platform/api/windows.js';
import { say, sayWord } from '../../platform/language/say.js';
import { sayCount } from '../../platform/say-number.js';

const kindWords: Readonly<Record<Happening['kind'], (one: Happening) => string>> = {
  survey: ({ count }) =>
    say('condition of {count, plural, one {# panel} other {# panels}} given', { count }),
  work: ({ label }) => sayWord(label),
  moved: ({ label, count }) =>
    say('{count, plural, one {# panel} other {# panels}} {label}', {
      count,
      label: sayWord(label),
    }),
  finding: ({ count }) => say('{count, plural, one {# finding} other {# findings}}', { count }),
  photograph: ({ label, count }) =>
    `${sayCount(count)} ${sayWord(count === 1 ? label : `${label}s`)}`,
  rubbing: ({ label, count }) =>
    say('{count, plural, one {# panel} other {# panels}} {label}', {
      count,
      label: sayWord(label),
    }),
  drawing: ({ label, count }) =>
    `${sayWord(label)}${count > 1 ? say(', {count} times', { count: sayCount(count) }) : ''}`,
};

/** 'Re-leaded, whole; 7 photographs: 1931~, on SLM.sII.1a, SLM.sII.1b and others.' */
export function sayHappening(list: readonly Happening[]): string {
  const what = list.slice(0, 3).map((one) => kindWords[one.kind](one));
  const more = list.length > 3 ? [say('{list} more', { list: list.length - 3 })] : [];
  const marks = [...new Set(list.flatMap(({ marks: about }) => about))];
  const on = `${marks.slice(0, 2).join(', ')}${marks.length > 2 ? say(' and others') : ''}`;
  const when = list[0]?.happened ?? list[0]?.last ?? say('no date');
  return say('Last by then: {value} ({when}), {on}.', {
    value: [...what, ...more].join('; '),
    when,
    on,
  });
}
