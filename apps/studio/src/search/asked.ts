/** What is asked of the past, as it stands in the address: words, and filters that are shown as chips. */
import { readQuestion } from '#libs/question';

export const FILTERS = [
  'mark',
  'kind',
  'operation',
  'term',
  'material',
  'role',
  'shows',
  'technique',
  'generations',
  'from',
  'to',
  'dates',
  'stage',
  'site',
  'window',
  'area',
] as const;
export type Filter = (typeof FILTERS)[number];

/** Filters of which several may stand, any of them. */
const SEVERAL: ReadonlySet<string> = new Set([
  'mark',
  'operation',
  'term',
  'material',
  'role',
  'shows',
  'technique',
]);

/** For the archive: what stands in the address, without how it is looked at. */
export function askedOf(words: URLSearchParams): Record<string, string | string[]> {
  const asked: Record<string, string | string[]> = {};
  for (const name of ['q', 'in', ...FILTERS]) {
    const values = words.getAll(name);
    if (values.length > 0) asked[name] = values.length === 1 ? values[0]! : values;
  }
  return asked;
}

export const isAsking = (words: URLSearchParams): boolean => Object.keys(askedOf(words)).length > 0;

/** The address after a question was typed: what was understood becomes filters, the rest stays words. */
export function withQuestion(words: URLSearchParams, text: string): URLSearchParams {
  const next = without(words, ['after', 'q']);
  const { filters, words: rest } = readQuestion(text);
  for (const { name, values } of filters) {
    next.delete(name);
    for (const value of values) next.append(name, value);
  }
  if (rest !== '') next.set('q', rest);
  return next;
}

/** With one more value; of filters that stand once it takes the place of the other. */
export function withFilter(words: URLSearchParams, name: string, value: string): URLSearchParams {
  const next = without(words, ['after']);
  if (SEVERAL.has(name)) {
    if (!next.getAll(name).includes(value)) next.append(name, value);
  } else next.set(name, value);
  return next;
}

/** Without a filter; an area goes with what it was drawn on, a way of reading dates with the dates. */
export function withoutFilter(words: URLSearchParams, name: string): URLSearchParams {
  const next = without(words, name === 'area' ? ['after', 'area', 'in'] : ['after', name]);
  if (!next.has('from') && !next.has('to')) next.delete('dates');
  return next;
}

function without(words: URLSearchParams, names: readonly string[]): URLSearchParams {
  const next = new URLSearchParams(words);
  for (const name of names) next.delete(name);
  return next;
}
