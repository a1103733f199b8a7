/** What pieces show, read out of a person's own words. */
import { byNameOrPlural } from './plural.js';
import { PIECE_SUBJECTS } from './techniques.js';

const WORDS = new Map<string, string>(
  PIECE_SUBJECTS.flatMap(({ key, label }) =>
    [key, label, ...label.split(' or ')].map((word) => [word, key] as const),
  ),
);
// common practice, no source
for (const [word, key] of [
  ['head', 'face'],
  ['hand', 'hands'],
  ['foot', 'hands'],
  ['robe', 'drapery'],
  ['text', 'inscription'],
  ['shield', 'heraldry'],
  ['coat of arms', 'heraldry'],
  ['leaf', 'plant'],
  ['leaves', 'plant'],
  ['background', 'ground'],
] as const) {
  WORDS.set(word, key);
}

/** Key of the subject that a word or its plural names, or undefined. */
export function pieceSubject(word: string): string | undefined {
  return byNameOrPlural(WORDS, word.trim().toLowerCase());
}

/**
 * Subjects within free text, in its order: known ones by their key, each other part as it is written,
 * in small letters.
 */
export function pieceSubjectsIn(text: string): string[] {
  const found = new Set<string>();
  for (const part of text.split(/[,;·/]|\band\b/)) {
    const plain = part.trim().toLowerCase();
    if (plain === '') continue;
    const whole = pieceSubject(plain);
    const within =
      whole === undefined
        ? plain.split(/[^\p{L}\p{N}]+/u).flatMap((word) => pieceSubject(word) ?? [])
        : [whole];
    for (const key of within.length > 0 ? within : [plain.slice(0, 60)]) found.add(key);
  }
  return [...found];
}
