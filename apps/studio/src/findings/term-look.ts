import type { HatchLook } from '../drawing/hatch.js';
import type { Term } from '../platform/api/findings.js';

const plain: HatchLook = { colour: '#0072b2', pattern: 'diagonal' };

/** The word for a term on screens; the key itself when the vocabulary does not know it. */
export function termWords(terms: readonly Term[], term: string): string {
  const known = terms.find((candidate) => candidate.term === term);
  return known?.words ?? known?.label ?? term.replaceAll('-', ' ');
}

export function termLook(terms: readonly Term[], term: string): HatchLook {
  const hatch = terms.find((candidate) => candidate.term === term)?.hatch;
  return {
    colour: typeof hatch?.colour === 'string' ? hatch.colour : plain.colour,
    pattern: typeof hatch?.pattern === 'string' ? hatch.pattern : plain.pattern,
  };
}

export function termKinds(term: Term): readonly ('point' | 'line' | 'area')[] {
  return typeof term.geometry === 'string' ? [term.geometry] : term.geometry;
}
