/**
 * Reads a question in plain words. What it understands becomes filters that are shown and can be taken
 * away; every other word stays a word. It never drops one that says something.
 */
import { formatMark, formatWindow, parseWindow, readMark, type Scheme } from '#libs/marks';
import { pieceSubject } from '#libs/vocabulary';
import { ASKING, KINDS, operationsNamed, techniqueNamed, termsNamed } from './names.js';
import { readDates } from './read-dates.js';

/** Filters of the search, by the names they have in its address. */
export type QueryName =
  | 'from'
  | 'generations'
  | 'kind'
  | 'mark'
  | 'operation'
  | 'role'
  | 'shows'
  | 'technique'
  | 'term'
  | 'to';

export interface Understood {
  readonly name: QueryName;
  readonly values: readonly string[];
  /** the words it was read from */
  readonly heard: string;
}

export interface Question {
  readonly filters: readonly Understood[];
  /** what is left to be searched as words */
  readonly words: string;
}

const NUMBERS: Readonly<Record<string, string>> = { two: '2', three: '3', four: '4', several: '2' };
const GENERATIONS = /\b(?:with\s+)?(two|three|four|several|[2-9])\s+(?:or more\s+)?generations\b/i;
const BY_ROLE =
  /\bby (?:a |an |the )?(glazier|painter|conservator|apprentice|mason|metalworker|blacksmith)s?\b/i;
const WINDOW =
  /^(?:I|(?:nt|st|[nsNS])(?:[IVXLC]+|\d{1,3})|w(?:[IVXLC]+|\d{1,3})|[a-z][a-z-]{0,9}-\d{1,3})$/;
/** Of pieces a word tells how they are made, of people what they did: plated pieces, who plated it. */
const ASKS_PIECES = /\bpieces?\b/i;
const ASKS_PERSON = /\bwho\b/i;
/** words in a row that one label may have */
const PHRASE_MAX = 5;

export function readQuestion(text: string): Question {
  const filters: Understood[] = [];
  let rest = text.normalize('NFKC');

  const generations = GENERATIONS.exec(rest);
  if (generations !== null) {
    const said = generations[1]!.toLowerCase();
    filters.push({ name: 'generations', values: [NUMBERS[said] ?? said], heard: generations[0] });
    rest = rest.replace(generations[0], ' ');
  }
  const role = BY_ROLE.exec(rest);
  if (role !== null) {
    filters.push({ name: 'role', values: [role[1]!.toLowerCase()], heard: role[0] });
    rest = rest.replace(role[0], ' ');
  }
  const found = readDates(rest);
  if (found !== undefined) {
    const { from, to, heard } = found.dates;
    if (from !== undefined) filters.push({ name: 'from', values: [from], heard });
    if (to !== undefined) filters.push({ name: 'to', values: [to], heard });
    ({ rest } = found);
  }
  const words = readWords(
    rest.split(/\s+/).filter((word) => word !== ''),
    filters,
    ASKS_PIECES.test(text) && !ASKS_PERSON.test(text),
  );
  return { filters, words };
}

function readWords(words: readonly string[], filters: Understood[], asksPieces: boolean): string {
  const left: string[] = [];
  for (let i = 0; i < words.length; ) {
    const phrase = longestPhrase(words, i, asksPieces);
    if (phrase !== undefined) {
      filters.push(phrase.understood);
      i += phrase.length;
      continue;
    }
    const word = bare(words[i]!);
    if (word !== '' && !ASKING.has(word.toLowerCase())) left.push(words[i]!);
    i += 1;
  }
  // All words were understood as something else, or were only words that ask.
  return left.join(' ');
}

function longestPhrase(words: readonly string[], i: number, asksPieces: boolean) {
  for (let length = Math.min(PHRASE_MAX, words.length - i); length > 0; length--) {
    const heard = words.slice(i, i + length).join(' ');
    const understood = understoodPhrase(bare(heard), length, asksPieces);
    if (understood !== undefined) return { understood: { ...understood, heard }, length };
  }
  return undefined;
}

function understoodPhrase(
  phrase: string,
  length: number,
  asksPieces: boolean,
): Omit<Understood, 'heard'> | undefined {
  if (length === 1) {
    const mark = markOf(phrase);
    if (mark !== undefined) return { name: 'mark', values: [mark] };
    const kind = KINDS[phrase.toLowerCase()];
    if (kind !== undefined) return { name: 'kind', values: [kind] };
  }
  const technique = techniqueNamed(phrase);
  if (asksPieces && technique !== undefined) return { name: 'technique', values: [technique] };
  const operations = operationsNamed(phrase);
  if (operations !== undefined) return { name: 'operation', values: operations };
  const terms = termsNamed(phrase);
  if (terms !== undefined) return { name: 'term', values: terms };
  const shows = pieceSubject(phrase);
  if (shows !== undefined) return { name: 'shows', values: [shows] };
  return technique === undefined ? undefined : { name: 'technique', values: [technique] };
}

/** A mark in its canonical form: in full, or from the window on. A pronoun is no window. */
function markOf(text: string): string | undefined {
  if (text === 'I') return undefined;
  for (const scheme of ['church', 'free'] as const) {
    if (text.includes('.')) {
      const full = readMark(text, scheme);
      if (full.ok && full.value.window !== undefined) return formatMark(full.value);
    }
    const [window, ...within] = text.split('.');
    if (!WINDOW.test(window!) || !within.every((part) => /^[\w-]+$/.test(part))) continue;
    const canonical = windowOf(window!, scheme);
    if (canonical !== undefined) return [canonical, ...within].join('.');
  }
  return undefined;
}

function windowOf(text: string, scheme: Scheme): string | undefined {
  try {
    return formatWindow(parseWindow(text, scheme));
  } catch {
    // told by the answer: it is a word like any other
    return undefined;
  }
}

/** Without the stops that end a sentence or hold a word. */
const bare = (word: string) => word.replace(/^["'(„“]+|["'),;:!?“”.]+$/gu, '');
