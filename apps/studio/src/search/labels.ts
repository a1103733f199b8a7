/** Filters and their values in words. */
import { findingTerm, operation, PIECE_SUBJECTS, TECHNIQUES } from '#libs/vocabulary';
import { say, sayWord } from '../platform/language/say.js';

import type { Filter } from './asked.js';

export const KIND_WORDS: Readonly<Record<string, string>> = {
  finding: say('findings'),
  intervention: say('work done'),
  media: say('pictures and papers'),
  piece: say('pieces'),
  panel: say('panels'),
  window: say('windows'),
  alias: say('earlier numbers'),
  joining: say('assemblies of shards'),
};

/** What hits are counted by, in the order in which the counts stand. */
export const FACET_WORDS: readonly (readonly [name: string, label: string, filter: Filter])[] = [
  ['kind', say('What'), 'kind'],
  ['operation', say('Work'), 'operation'],
  ['term', say('Finding'), 'term'],
  ['material', say('Material'), 'material'],
  ['role', say('Done by'), 'role'],
  ['shows', say('Piece shows'), 'shows'],
  ['technique', say('Made how'), 'technique'],
  ['window', say('Window'), 'mark'],
  ['decade', say('Decade'), 'from'],
  ['generations', say('Generations'), 'generations'],
];

/** A filter with its values as one chip says it. */
export function sayFilter(name: Filter, values: readonly string[]): string {
  const list = values.map((value) => sayValue(name, value)).join(say(' or '));
  switch (name) {
    case 'mark':
    case 'window':
      return say('in {list}', { list });
    case 'operation':
      return say('work: {list}', { list });
    case 'term':
      return say('finding: {list}', { list });
    case 'material':
      return say('material: {list}', { list });
    case 'role':
      return say('by a {list}', { list });
    case 'shows':
      return say('piece shows {list}', { list });
    case 'technique':
      return say('made: {list}', { list });
    case 'generations':
      return say('{list} generations or more', { list });
    case 'from':
      return say('from {list}', { list });
    case 'to':
      return say('until {list}', { list });
    case 'dates':
      return say('date certain');
    case 'area':
      return say('within the drawn area');
    default:
      return list;
  }
}

export function sayValue(name: string, value: string): string {
  switch (name) {
    case 'kind':
      return KIND_WORDS[value] ?? value;
    case 'operation':
      return sayWord(operation(value)?.label ?? value);
    case 'term':
      return sayWord(findingTerm(value)?.label ?? value);
    case 'shows':
      return sayWord(
        PIECE_SUBJECTS.find(({ key }) => key === value)?.label ?? value,
        'piece shows',
      );
    case 'technique':
      return sayWord(TECHNIQUES.find(({ key }) => key === value)?.label ?? value);
    case 'decade':
      return value === 'long' ? say('no closer date') : say('{year}s', { year: value });
    default:
      return value;
  }
}
