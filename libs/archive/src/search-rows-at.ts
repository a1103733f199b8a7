import type { Lookup } from './lookup.js';

export interface RowAt {
  readonly siteId: string;
  readonly at: string;
  readonly kind: 'finding' | 'intervention';
  readonly rowId: string;
  readonly keys: readonly string[];
}

/**
 * Search rows of findings and work by the key of a mark that they are about. The key is asked for
 * before the site (OFFSET 0 keeps the two apart): the rows of a whole site are never gone through.
 */
export const ROWS_AT: Lookup<RowAt> = {
  text: `SELECT wanted.site_id, wanted.at, r.kind, r.row_id, r.keys
    FROM unnest($1::uuid[], $2::text[]) AS wanted (site_id, at)
    JOIN LATERAL (
      SELECT site_id, kind, row_id, keys FROM search_row WHERE keys @> ARRAY[wanted.at] OFFSET 0) r
      ON r.site_id = wanted.site_id AND r.kind IN ('finding', 'intervention')`,
  tables: ['search_row'],
  isPrepared: true,
  keyOf: ({ siteId, at }) => [siteId, at],
};
