import { FINDING_TERMS, type FindingTerm, findingTerm } from '#libs/vocabulary';
import { sayWord } from '../platform/language/say.js';

/** A term in the words of the chosen language; its key and sign stay. */
export const spoken = <T extends { readonly label: string; readonly definition: string }>(
  term: T,
): T => ({ ...term, label: sayWord(term.label), definition: sayWord(term.definition) });

/** The vocabulary for times without a line. */
export const SPOKEN_TERMS: readonly FindingTerm[] = FINDING_TERMS.map(spoken);

/** A term by its key; undefined when the vocabulary does not know it. */
export function spokenTerm(key: string): FindingTerm | undefined {
  const term = findingTerm(key);
  return term && spoken(term);
}
