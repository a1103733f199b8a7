/** Values of facets in the words that people read. */
import { findingTerm, operation, PIECE_SUBJECTS, TECHNIQUES } from '#libs/vocabulary';
import type { FacetName } from './search.query.js';
import type { Counted } from './search.reader.js';

const SUBJECTS = new Map(PIECE_SUBJECTS.map(({ key, label }) => [key, label]));

const MADE = new Map(TECHNIQUES.map(({ key, label }) => [key, label]));

const LABELS: Partial<Record<FacetName, (value: string) => string | undefined>> = {
  operation: (value) => operation(value)?.label,
  term: (value) => findingTerm(value)?.label,
  shows: (value) => SUBJECTS.get(value),
  technique: (value) => MADE.get(value),
  decade: (value) => (value === 'long' ? 'no closer date' : `${value}s`),
};

export function labelled(facets: Counted['facets']) {
  return Object.fromEntries(
    Object.entries(facets).map(([name, values]) => [
      name,
      values.map(({ value, count }) => ({
        value,
        label: LABELS[name as FacetName]?.(value) ?? value,
        count,
      })),
    ]),
  ) as Record<FacetName, { value: string; label: string; count: number }[]>;
}
