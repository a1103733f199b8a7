import type { FindingTerm, TermSign } from '#libs/vocabulary';

const plain: TermSign = { colour: 'blue', area: 'lines-45', line: 'plain', point: 'circle' };

/** The word for a term on screens; the key itself when the vocabulary does not know it. */
export function termWords(terms: readonly FindingTerm[], key: string): string {
  return terms.find((term) => term.key === key)?.label ?? key.replaceAll('.', ' ');
}

export function termSign(terms: readonly FindingTerm[], key: string): TermSign {
  return terms.find((term) => term.key === key)?.sign ?? plain;
}
