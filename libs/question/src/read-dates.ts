/** Dates as people write them in a question: before 2000, c. 1925, since 1950, 1920s, 19th century. */

export interface HeardDates {
  /** EDTF; left out where it is open */
  readonly from?: string;
  readonly to?: string;
  /** the words that were read */
  readonly heard: string;
}

const YEAR = '(\\d{4})';
const ABOUT = '(?:c\\.|ca\\.?|circa|about|around|um)';

type Reader = readonly [pattern: RegExp, read: (years: string[]) => { from?: string; to?: string }];

const READERS: readonly Reader[] = [
  [
    new RegExp(`\\b(?:between|from)\\s+${YEAR}\\s+(?:and|to|until)\\s+${YEAR}\\b`, 'i'),
    ([a, b]) => ({ from: a!, to: b! }),
  ],
  [new RegExp(`\\b${YEAR}\\s*[/–-]\\s*${YEAR}\\b`), ([a, b]) => ({ from: a!, to: b! })],
  [new RegExp(`\\bbefore\\s+${YEAR}\\b`, 'i'), ([a]) => ({ to: moved(a!, -1) })],
  [new RegExp(`\\b(?:until|up to|by)\\s+${YEAR}\\b`, 'i'), ([a]) => ({ to: a! })],
  [new RegExp(`\\bafter\\s+${YEAR}\\b`, 'i'), ([a]) => ({ from: moved(a!, 1) })],
  [new RegExp(`\\b(?:since|from)\\s+${YEAR}\\b`, 'i'), ([a]) => ({ from: a! })],
  [new RegExp(`(?<![\\p{L}\\p{N}])${ABOUT}\\s*${YEAR}\\b`, 'iu'), ([a]) => both(`${a}~`)],
  [new RegExp(`\\b${YEAR}~`), ([a]) => both(`${a}~`)],
  [/\b(?:in the\s+)?(\d{3})0s\b/i, ([a]) => both(`${a}X`)],
  [
    /\b(?:in the\s+)?(\d{1,2})(?:st|nd|rd|th)\s+century\b/i,
    ([a]) => both(`${String(Number(a) - 1).padStart(2, '0')}XX`),
  ],
  [new RegExp(`\\b(?:in\\s+)?${YEAR}\\b`, 'i'), ([a]) => both(a!)],
];

/**
 * The first date in a text.
 *
 * @returns what it says and the text without it; undefined where there is none
 */
export function readDates(text: string): { dates: HeardDates; rest: string } | undefined {
  for (const [pattern, read] of READERS) {
    const found = pattern.exec(text);
    if (found === null) continue;
    const rest = `${text.slice(0, found.index)} ${text.slice(found.index + found[0].length)}`;
    return { dates: { ...read(found.slice(1)), heard: found[0].trim() }, rest };
  }
  return undefined;
}

const both = (date: string) => ({ from: date, to: date });
const moved = (year: string, by: number) => String(Number(year) + by).padStart(4, '0');
