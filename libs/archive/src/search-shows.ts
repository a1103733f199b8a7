/** What pieces show, as the search rows of findings and work on them say it. */
import type { Lookup } from './lookup.js';
import type { InterventionRow } from './rows.js';
import { type Facts, KEY_LETTERS, markKeys, searchKey, showsKeys } from './search-keys.js';
import { ROWS_AT } from './search-rows-at.js';
import type { Tx } from './tx.js';
import type { UsedMaterial } from './works/used-material.js';

const SHOWN_BY: Lookup<{ siteId: string; panelId: string; mark: string; shows: string | null }> = {
  text: `SELECT p.* FROM unnest($1::uuid[], $2::text[]) AS wanted (panel_id, mark)
    CROSS JOIN LATERAL (
      SELECT site_id, panel_id, mark, shows FROM piece
      WHERE panel_id = wanted.panel_id AND mark = wanted.mark
      ORDER BY shows IS NULL, provisional LIMIT 1) p`,
  tables: ['piece'],
  steadyIn: 'site',
  keyOf: ({ panelId, mark }) => [panelId, mark],
};

/** What the piece under a mark of a panel shows. */
export async function shownBy(
  tx: Tx,
  panelId: string,
  inPanel: string | null,
): Promise<string | null> {
  if (inPanel === null || !/^\d/.test(inPanel)) return null;
  const [row] = await tx.ask(SHOWN_BY, panelId, inPanel);
  return row?.shows ?? null;
}

/** What a search row of work is filtered and counted by. */
export async function interventionFacts(
  tx: Tx,
  siteId: string,
  row: Pick<InterventionRow, 'subjects' | 'operation' | 'material' | 'byRole'> & {
    readonly materials?: unknown;
  },
): Promise<Facts> {
  const names = ((row.materials ?? []) as readonly UsedMaterial[]).map(({ name }) => name);
  return {
    marks: row.subjects,
    operation: row.operation,
    materials: [row.material, ...names],
    role: row.byRole,
    shows: await shownAt(tx, siteId, row.subjects),
  };
}

/** What the pieces among these marks show; a part or replacement shows what its piece does. */
async function shownAt(tx: Tx, siteId: string, marks: readonly string[]): Promise<string[]> {
  const places = marks.flatMap((mark) => {
    const [, window, panel, piece] = mark.split('.');
    const number = /^\d+/.exec(piece ?? '')?.[0];
    return number === undefined ? [] : [{ window: window!, panel: panel!, piece: piece!, number }];
  });
  if (places.length === 0) return [];
  const rows = await tx.query<{ shows: string }>(
    `SELECT DISTINCT p.shows
     FROM unnest($2::text[], $3::text[], $4::text[], $5::text[]) AS wanted (in_window, panel, piece, number)
     JOIN "window" w ON w.site_id = $1 AND w.mark = wanted.in_window
     JOIN panel o ON o.window_id = w.window_id AND o.mark = wanted.panel
     JOIN piece p ON p.panel_id = o.panel_id AND p.mark IN (wanted.piece, wanted.number)
     WHERE p.shows IS NOT NULL ORDER BY 1`,
    [
      siteId,
      places.map(({ window }) => window),
      places.map(({ panel }) => panel),
      places.map(({ piece }) => piece),
      places.map(({ number }) => number),
    ],
    ['window', 'panel', 'piece'],
  );
  return rows.map(({ shows }) => shows);
}

const PIECE = new RegExp(`^${KEY_LETTERS.mark}:[^.]+\\.[^.]+\\.[^.]+\\.\\d`);

/** After a piece was described: findings and work on it are found by what it shows from now on. */
export async function refreshShown(tx: Tx, siteId: string, pieceMark: string): Promise<void> {
  const own = markKeys(pieceMark).at(-1)!;
  const rows = await tx.ask(ROWS_AT, siteId, own);
  for (const { kind, rowId, keys } of rows) {
    const marks = keys.filter((key) => PIECE.test(key)).map((key) => key.slice(2));
    const shown = await shownAt(tx, siteId, marks);
    const rest = keys.filter((key) => !key.startsWith(searchKey('shows', '')));
    const next = [...new Set([...rest, ...shown.flatMap(showsKeys)])].sort();
    if (next.join('\n') === [...keys].sort().join('\n')) continue;
    await tx.run(
      'UPDATE search_row SET keys = $4 WHERE site_id = $1 AND kind = $2 AND row_id = $3',
      [siteId, kind, rowId, next],
      ['search_row'],
    );
  }
}

/** After findings were named after another piece: their search rows bear its mark. */
export async function moveFindable(
  tx: Tx,
  siteId: string,
  findingIds: readonly string[],
  fromMark: string,
  toMark: string,
): Promise<void> {
  if (fromMark === toMark || findingIds.length === 0) return;
  const [from, to] = [markKeys(fromMark).at(-1)!, markKeys(toMark)];
  await tx.run(
    `UPDATE search_row SET subject = $4, title = $4 || substr(title, length($3) + 1),
       keys = (SELECT array_agg(DISTINCT key COLLATE "C" ORDER BY key COLLATE "C")
               FROM unnest(array_remove(keys, $5) || $6::text[]) AS key)
     WHERE site_id = $1 AND kind = 'finding' AND row_id = ANY($2::text[]) AND subject = $3`,
    [siteId, findingIds, fromMark, toMark, from, to],
    ['search_row'],
  );
}
