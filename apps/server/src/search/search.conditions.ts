/** From filters to conditions in SQL. Every value goes over as a parameter. */
import { decadesOf, type KeyName, searchKey, spanOf } from '#libs/archive';
import { Problem } from '#libs/problem';
import type { AreaHits } from './search.area.js';
import type { SearchFilters } from './search.query.js';

export interface Conditions {
  /** joined by AND; 'true' where nothing is asked */
  readonly where: string;
  readonly values: unknown[];
  /** of the words, for the snippet; null without words */
  readonly tsquery: string | null;
  /** adds a value and answers its parameter */
  readonly value: (one: unknown) => string;
}

export interface Scope {
  /** sites that the person may read */
  readonly may: 'all' | readonly string[];
  /** sites that were asked for */
  readonly siteIds: 'all' | readonly string[];
  /** keys of the marks that were asked for: any of them */
  readonly markKeys: readonly string[];
  readonly area: AreaHits | null;
}

const FIRST_YEAR = 1000;
const LAST_YEAR = 2100;

/** @throws {Problem} `date-invalid`, `request-invalid` */
export function conditionsOf(filters: SearchFilters, scope: Scope): Conditions {
  const values: unknown[] = [];
  const value = (one: unknown) => `$${values.push(one)}`;
  const where: string[] = [];
  const anyOf = (keys: readonly string[]) => {
    if (keys.length === 1) where.push(`keys @> ${value(keys)}::text[]`);
    else where.push(`keys && ${value(keys)}::text[]`);
  };
  const filter = (name: KeyName, asked: readonly string[]) => {
    if (asked.length > 0) anyOf(asked.map((one) => searchKey(name, one)));
  };

  if (scope.may !== 'all') where.push(`site_id = ANY(${value(scope.may)}::uuid[])`);
  if (scope.siteIds !== 'all') where.push(`site_id = ANY(${value(scope.siteIds)}::uuid[])`);
  const tsquery = wordsCondition(filters.q, value, where);
  if (scope.markKeys.length > 0) anyOf(scope.markKeys);
  filter('operation', filters.operation);
  filter('term', filters.term);
  filter('material', filters.material);
  filter('role', filters.role);
  filter('shows', filters.shows);
  filter('technique', filters.technique);
  if (filters.generations !== undefined) {
    const from = filters.generations;
    anyOf(Array.from({ length: 20 - from }, (_, i) => searchKey('generations', `${from + i}`)));
  }
  if (filters.kind !== undefined) {
    // Kinds of which there are few are found by the index, the others are told by the row.
    const isRare = filters.kind !== 'finding' && filters.kind !== 'intervention';
    if (isRare) filter('kind', [filters.kind]);
    // In this form it is asked of rows only: the key of the table would be gone through for it whole.
    else where.push(`(kind = ${value(filters.kind)}) IS TRUE`);
  }
  if (filters.stage !== undefined) filter('stage', [filters.stage]);
  dateConditions(filters, value, where, anyOf);
  if (scope.area !== null) where.push(areaCondition(scope.area, value));
  // Nothing is both: told at once, where looking would go through all of either.
  if (kindsAsked(filters).size > 1) where.unshift('false');
  return { where: where.length === 0 ? 'true' : where.join(' AND '), values, tsquery, value };
}

/** Kinds that the filters ask for: only work has an operation, only findings have a term. */
function kindsAsked(filters: SearchFilters): Set<string> {
  const { operation, material, role, term, technique, generations, stage, kind } = filters;
  return new Set([
    ...(kind === undefined ? [] : [kind]),
    ...(operation.length + material.length + role.length > 0 ? ['intervention'] : []),
    ...(term.length > 0 ? ['finding'] : []),
    ...(generations === undefined && technique.length === 0 ? [] : ['piece']),
    ...(stage === undefined ? [] : ['media']),
  ]);
}

function wordsCondition(q: string, value: Conditions['value'], where: string[]): string | null {
  const query = prefixQuery(q);
  if (query === '') return null;
  const tsquery = `to_tsquery('simple', plain_words(${value(query)}))`;
  // Whole words also as English knows them: cracks finds cracked.
  const english = `websearch_to_tsquery('english', plain_words(${value(q)}))`;
  // As one query: the index is gone through once.
  where.push(`words @@ (${tsquery} || ${english})`);
  return tsquery;
}

/** Words joined by AND, each also as a beginning: `blu gla` finds blue glass. */
function prefixQuery(q: string): string {
  return q
    .normalize('NFKC')
    .split(/[^\p{L}\p{N}]+/u)
    .filter((word) => word !== '')
    .slice(0, 12)
    .map((word) => `${word}:*`)
    .join(' & ');
}

function dateConditions(
  { from, to, dates }: SearchFilters,
  value: Conditions['value'],
  where: string[],
  anyOf: (keys: readonly string[]) => void,
): void {
  const first = from === undefined || from === '' ? null : spanOf(from, 'from').first;
  const last = to === undefined || to === '' ? null : spanOf(to, 'to').last;
  if (first === null && last === null) return;
  if (first !== null && last !== null && last < first) {
    throw new Problem('request-invalid', `to: ${to} lies before ${from}. Turn the two round.`, {
      field: 'to',
    });
  }
  // The index knows decades; the days decide.
  const span = { first: first ?? `${FIRST_YEAR}-01-01`, last: last ?? `${LAST_YEAR}-12-31` };
  anyOf([...decades(span), 'long'].map((decade) => searchKey('decade', decade)));
  if (dates === 'certainly') {
    where.push('happened_sure');
    if (first !== null) where.push(`earliest >= ${value(first)}::date`);
    if (last !== null) where.push(`latest <= ${value(last)}::date`);
    return;
  }
  if (first !== null) where.push(`coalesce(latest, 'infinity') >= ${value(first)}::date`);
  if (last !== null) where.push(`coalesce(earliest, '-infinity') <= ${value(last)}::date`);
}

function decades({ first, last }: { first: string; last: string }): string[] {
  const found: string[] = [];
  for (let year = Number(first.slice(0, 4)); ; year += 100) {
    const part = {
      first: `${String(year).padStart(4, '0')}-01-01`,
      last: `${String(year + 99).padStart(4, '0')}-12-31`,
    };
    found.push(...decadesOf({ first: part.first, last: part.last < last ? part.last : last }));
    if (part.last >= last) break;
  }
  return [...new Set(found)].filter((decade) => decade !== 'long');
}

function areaCondition(area: AreaHits, value: Conditions['value']): string {
  const around = `site_id = ${value(area.siteId)} AND keys && ${value(area.aroundKeys)}::text[]`;
  const within = `CASE WHEN kind = 'finding' THEN row_id = ANY(${value(area.findingIds)}::text[]) OR keys && ${value(area.wholeKeys)}::text[]
     ELSE keys && ${value([...area.wholeKeys, ...area.pieceKeys])}::text[] END`;
  return `${around} AND ${within}`;
}
