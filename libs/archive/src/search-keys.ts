/**
 * What a search row can be filtered and counted by, as one array of short texts: a letter, a colon, the
 * value. One index over it serves every combination of filters.
 *
 * | letter | value |
 * | --- | --- |
 * | `d` | decade that the date may lie in, by its first year; `long` for open spans and more than 20 |
 * | `e` | stage of a picture |
 * | `g` | generations of glass known of a piece, from 2 |
 * | `k` | kind of row |
 * | `m` | mark below the window: panel, light, fitting, and what lies in the panel; a replacement or part also by its piece |
 * | `o` | operation |
 * | `q` | technique of a piece |
 * | `r` | role of who did it |
 * | `s` | what the piece shows |
 * | `t` | term of a finding |
 * | `w` | mark of the window |
 * | `x` | material |
 */
import { pieceSubjectsIn } from '#libs/vocabulary';
import type { DateSpan } from './date-span.js';

export const KEY_LETTERS = {
  decade: 'd',
  stage: 'e',
  generations: 'g',
  kind: 'k',
  mark: 'm',
  operation: 'o',
  technique: 'q',
  role: 'r',
  shows: 's',
  term: 't',
  window: 'w',
  material: 'x',
} as const;

export type KeyName = keyof typeof KEY_LETTERS;

/** What is known of a row beside its words. */
export interface Facts {
  /** full marks of all that it is about */
  readonly marks: readonly string[];
  readonly stage?: string | null;
  readonly operation?: string | null;
  readonly term?: string | null;
  readonly materials?: readonly (string | null)[];
  readonly role?: string | null;
  /** of each piece that it is about, as described */
  readonly shows?: readonly (string | null)[];
  readonly generations?: number;
  /** keys of the vocabulary's techniques */
  readonly techniques?: readonly string[];
}

const DECADES_MAX = 20;

/** `o:bond.epoxy`. Materials, roles and subjects are compared without case and spare room. */
export function searchKey(name: KeyName, value: string): string {
  const isFree = name === 'material' || name === 'role' || name === 'shows';
  return `${KEY_LETTERS[name]}:${isFree ? freeText(value) : value}`;
}

/** Keys of a row, sorted, each once. */
export function searchKeys(kind: string, facts: Facts, span: DateSpan | null): string[] {
  const keys = new Set<string>([searchKey('kind', kind)]);
  const add = (name: KeyName, value: string | null | undefined) => {
    if (value !== null && value !== undefined && value.trim() !== '')
      keys.add(searchKey(name, value));
  };
  for (const mark of facts.marks) for (const key of markKeys(mark)) keys.add(key);
  add('stage', facts.stage);
  add('operation', facts.operation);
  add('term', facts.term);
  for (const material of facts.materials ?? []) add('material', material);
  add('role', facts.role);
  for (const shows of facts.shows ?? []) for (const key of showsKeys(shows)) keys.add(key);
  if (facts.generations !== undefined && facts.generations > 1)
    add('generations', `${facts.generations}`);
  for (const technique of facts.techniques ?? []) add('technique', technique);
  if (span !== null) for (const decade of decadesOf(span)) add('decade', decade);
  return [...keys].sort();
}

/** Keys of what a piece shows, as somebody described it. */
export function showsKeys(shows: string | null): string[] {
  return shows === null ? [] : pieceSubjectsIn(shows).map((one) => searchKey('shows', one));
}

/** `SLM.wI.2b.17r2` → window, panel, piece 17, and itself. */
export function markKeys(fullMark: string): string[] {
  const [site, window, second, third] = fullMark.split('.');
  if (window === undefined) return [];
  const keys = [searchKey('window', `${site}.${window}`)];
  if (second === undefined) return keys;
  const panel = `${site}.${window}.${second}`;
  keys.push(searchKey('mark', panel));
  if (third === undefined) return keys;
  const number = /^\d+(?=[a-z])/.exec(third)?.[0];
  if (number !== undefined) keys.push(searchKey('mark', `${panel}.${number}`));
  keys.push(searchKey('mark', fullMark));
  return keys;
}

/** First years of the decades that a span touches, or `long`. */
export function decadesOf({ first, last }: Pick<DateSpan, 'first' | 'last'>): string[] {
  if (first === null && last === null) return [];
  if (first === null || last === null) return ['long'];
  const from = decadeOf(first);
  const to = decadeOf(last);
  if (to < from || to - from > 10 * DECADES_MAX) return ['long'];
  const decades: string[] = [];
  for (let year = from; year <= to; year += 10) decades.push(String(year).padStart(4, '0'));
  return decades;
}

/** `1987-05-01` → 1980 */
export function decadeOf(day: string): number {
  return Math.floor(Number(day.slice(0, 4)) / 10) * 10;
}

function freeText(text: string): string {
  return text.normalize('NFKC').toLowerCase().replace(/\s+/gu, ' ').trim().slice(0, 80);
}
