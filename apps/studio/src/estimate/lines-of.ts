/** The lines of an estimate as its alternatives share them. */
import type { Estimate } from '../platform/api/estimates.js';
import { say, sayWord } from '../platform/language/say.js';
import { decimalMark } from '../platform/language/tongue.js';
import { sayCount } from '../platform/say-number.js';
import { sayHours } from '../works/say-hours.js';

export type Alternative = Estimate['alternatives'][number];

/** Every name of a line, in the order in which the alternatives say them. */
export const namesOf = (alternatives: readonly Alternative[]): string[] => [
  ...new Set(alternatives.flatMap(({ lines }) => lines.map(({ what }) => what))),
];

export interface LineTold {
  readonly cost: Alternative['lineCosts'][number]['cost'];
  /** '250 pieces, 83.3 h' */
  readonly about: string;
}

/** Lines of one name, of which there is mostly one; none where the alternative does without. */
export function linesNamed({ lines, lineCosts }: Alternative, name: string): LineTold[] {
  return lines.flatMap(({ what, unit, quantity }, i) => {
    const { cost, minutes } = lineCosts[i]!;
    if (what !== name) return [];
    return [{ cost, about: `${sayQuantity(quantity.likely, unit)}, ${sayHours(minutes.likely)}` }];
  });
}

function sayQuantity(value: number, unit: string): string {
  if (unit === 'piece')
    return say('{count, plural, one {# piece} other {# pieces}}', { count: value });
  if (unit === 'panel')
    return say('{count, plural, one {# panel} other {# panels}}', { count: value });
  if (unit === 'joint')
    return say('{count, plural, one {# joint} other {# joints}}', { count: value });
  if (unit === 'once') return say('once');
  return `${sayCount(value).replace('.', decimalMark())} ${sayWord(unit, 'counted by')}`;
}
