export type VocabularyFault = 'unknown-term' | 'wrong-geometry' | 'bad-geometry' | 'bad-class';

/** A refusal of a word, a geometry or a class, with what would be right. */
export class VocabularyError extends Error {
  override readonly name = 'VocabularyError';
  constructor(
    readonly fault: VocabularyFault,
    message: string,
  ) {
    super(message);
  }
}
