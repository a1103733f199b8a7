import type { Happening } from '../../platform/api/windows.js';
import { countOf, sayCount } from '../../platform/say-number.js';

const kindWords: Readonly<Record<Happening['kind'], (one: Happening) => string>> = {
  survey: ({ count }) => `condition of ${countOf(count, 'panel')} given`,
  work: ({ label }) => label,
  moved: ({ label, count }) => `${countOf(count, 'panel')} ${label}`,
  finding: ({ count }) => countOf(count, 'finding'),
  photograph: ({ label, count }) => countOf(count, label),
  rubbing: ({ label, count }) => `${countOf(count, 'panel')} ${label}`,
  drawing: ({ label, count }) => `${label}${count > 1 ? `, ${sayCount(count)} times` : ''}`,
};

/** 'Re-leaded, whole; 7 photographs: 1931~, on SLM.sII.1a, SLM.sII.1b and others.' */
export function sayHappening(list: readonly Happening[]): string {
  const what = list.slice(0, 3).map((one) => kindWords[one.kind](one));
  const more = list.length > 3 ? [`${list.length - 3} more`] : [];
  const marks = [...new Set(list.flatMap(({ marks: about }) => about))];
  const on = `${marks.slice(0, 2).join(', ')}${marks.length > 2 ? ' and others' : ''}`;
  const when = list[0]?.happened ?? list[0]?.last ?? 'no date';
  return `Last by then: ${[...what, ...more].join('; ')} (${when}), ${on}.`;
}
