/**
 * Findings, work, pictures and pieces by words and filters: PostgreSQL full text without accents and one
 * array of keys, in one index.
 */
import { Injectable } from '@nestjs/common';
import { z } from 'zod';
import { dateTime, KEY_LETTERS, Tx } from '#libs/archive';
import { keyText } from '../platform/paging.js';
import type { Conditions } from './search.conditions.js';
import { SearchPool } from './search.pool.js';
import { FACETS, type FacetName } from './search.query.js';

/** Hits are counted up to here. */
export const COUNTED_MAX = 10_000;
/** Rows looked through, newest first, for the next page of what there is plenty of. */
const LOOKED_THROUGH = 100_000;

export interface FoundRow {
  kind: string;
  siteId: string;
  rowId: string;
  subject: string;
  title: string;
  snippet: string | null;
  stage: string | null;
  happened: string | null;
  recordedAt: Date;
}

/** Place in the list: moment, row, and whether the whole list is short. */
export const placeKey = z.tuple([dateTime, keyText, z.int()]);
export type Place = Readonly<z.infer<typeof placeKey>>;

export interface Counted {
  /** exact up to {@link COUNTED_MAX}; one more says: or more */
  readonly total: number;
  readonly facets: Readonly<Record<FacetName, readonly { value: string; count: number }[]>>;
}

export interface FirstPage extends Counted {
  readonly rows: FoundRow[];
}

@Injectable()
export class SearchReader {
  readonly #tx: Tx;

  constructor(search: SearchPool) {
    this.#tx = new Tx(search.pool);
  }

  /** The newest hits with counts, from one statement where there are not more than can be counted. */
  async first(make: () => Conditions, limit: number): Promise<FirstPage> {
    const { text, values } = firstStatement(make(), limit);
    const row = (await this.#tx.first<{
      total: number;
      counts: Record<string, number> | null;
      newest: (Omit<FoundRow, 'recordedAt'> & { recordedAt: string })[] | null;
    }>(text, values))!;
    const counted = { total: row.total, facets: facetsOf(row.counts ?? {}) };
    if (row.total > COUNTED_MAX) return { ...counted, rows: await this.#ofPlenty(make, limit) };
    const rows = (row.newest ?? []).map((one) => ({
      ...one,
      recordedAt: new Date(one.recordedAt),
    }));
    return { ...counted, rows };
  }

  /** The page after a place in the list. */
  async after(make: () => Conditions, place: Place, limit: number): Promise<FoundRow[]> {
    const [recordedAt, rowId, isShort] = place;
    if (isShort === 0) return this.#ofPlenty(make, limit, [recordedAt, rowId]);
    return this.#sorted(make, limit, [recordedAt, rowId]);
  }

  /** Hits a panel and a piece of one window, of at most {@link COUNTED_MAX} hits. */
  async places(make: () => Conditions, siteId: string, windowKey: string) {
    const { where, values, value } = make();
    const [site, key] = [value(siteId), value(windowKey)];
    const rows = await this.#tx.query<{ mark: string; count: number }>(
      `WITH hits AS MATERIALIZED (
         SELECT keys FROM search_row
         WHERE ${where} AND site_id = ${site} AND keys @> ARRAY[${key}] LIMIT ${COUNTED_MAX + 1})
       SELECT substr(key, 3) AS mark, count(*)::int AS count
       FROM hits CROSS JOIN LATERAL unnest(keys) AS key
       WHERE starts_with(key, '${KEY_LETTERS.mark}:') OR key = ${key} GROUP BY key ORDER BY key`,
      values,
    );
    const depth = (mark: string) => mark.split('.').length;
    const inWindow = `${windowKey.slice(2)}.`;
    const own = rows.filter(({ mark }) => mark.startsWith(inWindow));
    const all = rows.find(({ mark }) => mark === windowKey.slice(2))?.count ?? 0;
    return {
      panels: own.filter(({ mark }) => depth(mark) === 3),
      pieces: own.filter(({ mark }) => depth(mark) === 4),
      isPart: all > COUNTED_MAX,
    };
  }

  /**
   * Newest first by the index on time, which meets enough of what there is plenty of. Where hits lie far
   * back all of them are sorted instead.
   */
  async #ofPlenty(
    make: () => Conditions,
    limit: number,
    after?: readonly [string, string],
  ): Promise<FoundRow[]> {
    const { text, values } = plentyStatement(make(), limit, after);
    const rows = await this.#tx.query<FoundRow>(text, values);
    return rows.length === limit ? rows : this.#sorted(make, limit, after);
  }

  async #sorted(
    make: () => Conditions,
    limit: number,
    after?: readonly [string, string],
  ): Promise<FoundRow[]> {
    const { text, values } = sortedStatement(make(), limit, after);
    return this.#tx.query<FoundRow>(text, values);
  }
}

interface Statement {
  readonly text: string;
  readonly values: unknown[];
}

/** Hits are taken as they lie: what there is plenty of ends in the first of the table's parts. */
export function firstStatement(conditions: Conditions, limit: number): Statement {
  const { where, values, value } = conditions;
  const text = `
    WITH hits AS MATERIALIZED (
      SELECT site_id, kind, row_id, recorded_at, keys FROM search_row
      WHERE ${where} LIMIT ${COUNTED_MAX + 1}),
    counted AS (
      SELECT key, count(*) AS n FROM (SELECT unnest(keys) AS key FROM hits) AS each
      WHERE NOT starts_with(key, '${KEY_LETTERS.mark}:') GROUP BY key),
    newest AS (
      SELECT site_id, kind, row_id FROM hits
      WHERE (SELECT count(*) FROM hits) <= ${COUNTED_MAX}
      ORDER BY recorded_at DESC, row_id DESC LIMIT ${value(limit)})
    SELECT (SELECT count(*)::int FROM hits) AS total,
      (SELECT json_object_agg(key, n) FROM counted) AS counts,
      (SELECT json_agg(found ORDER BY "recordedAt" DESC, "rowId" DESC) FROM (
        SELECT kind, site_id AS "siteId", row_id AS "rowId", subject, title, ${snippetOf(conditions)} AS snippet,
          stage, happened, recorded_at AS "recordedAt"
        FROM newest JOIN search_row USING (site_id, kind, row_id)) AS found) AS newest`;
  return { text, values };
}

export function plentyStatement(
  conditions: Conditions,
  limit: number,
  after: readonly [string, string] | undefined,
): Statement {
  const { where, values, value } = conditions;
  const text = `
    WITH found AS (
      SELECT * FROM (
        SELECT * FROM search_row ${after === undefined ? '' : `WHERE ${afterCondition(after, value)}`}
        ORDER BY recorded_at DESC, row_id DESC LIMIT ${LOOKED_THROUGH}) AS search_row
      WHERE ${where} ORDER BY recorded_at DESC, row_id DESC LIMIT ${value(limit)})
    SELECT ${columnsOf(conditions)} FROM found ORDER BY recorded_at DESC, row_id DESC`;
  return { text, values };
}

function sortedStatement(
  conditions: Conditions,
  limit: number,
  after: readonly [string, string] | undefined,
): Statement {
  const { where, values, value } = conditions;
  // Kept apart, so that the planner does not go through the whole time looking for the few.
  const text = `
    WITH hits AS MATERIALIZED (
      SELECT site_id, kind, row_id, recorded_at FROM search_row
      WHERE ${where}${after === undefined ? '' : ` AND ${afterCondition(after, value)}`}),
    found AS (
      SELECT search_row.* FROM (
        SELECT site_id, kind, row_id FROM hits ORDER BY recorded_at DESC, row_id DESC LIMIT ${value(limit)}) AS few
      JOIN search_row USING (site_id, kind, row_id))
    SELECT ${columnsOf(conditions)} FROM found ORDER BY recorded_at DESC, row_id DESC`;
  return { text, values };
}

const afterCondition = (after: readonly [string, string], value: Conditions['value']) =>
  `(recorded_at, row_id) < (${value(after[0])}::timestamptz, ${value(after[1])})`;

const columnsOf = (conditions: Conditions) =>
  `kind, site_id, row_id, subject, title, ${snippetOf(conditions)} AS snippet, stage, happened, recorded_at`;

function snippetOf({ tsquery }: Conditions): string {
  if (tsquery === null) return `nullif(left(text, 160), '')`;
  return `nullif(ts_headline('simple', text, ${tsquery}, 'StartSel=«, StopSel=», MaxWords=24, MinWords=8'), '')`;
}

const NAMES = new Map(FACETS.map((name) => [KEY_LETTERS[name], name]));

function facetsOf(counts: Readonly<Record<string, number>>): Counted['facets'] {
  const facets = Object.fromEntries(
    FACETS.map((name) => [name, [] as { value: string; count: number }[]]),
  ) as Record<FacetName, { value: string; count: number }[]>;
  for (const [key, count] of Object.entries(counts)) {
    const name = NAMES.get(key.slice(0, key.indexOf(':')) as (typeof KEY_LETTERS)[FacetName]);
    if (name !== undefined) facets[name].push({ value: key.slice(key.indexOf(':') + 1), count });
  }
  for (const name of FACETS) {
    const isInOrder = name === 'decade' || name === 'generations';
    facets[name].sort(
      (a, b) =>
        (isInOrder ? 0 : b.count - a.count) || (a.value < b.value ? -1 : a.value > b.value ? 1 : 0),
    );
  }
  return facets;
}
