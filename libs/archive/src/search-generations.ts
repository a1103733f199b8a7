/**
 * Generations of glass in one place: the piece as it was first numbered, and each replacement that
 * anybody named (`17r2`). Work called "replace" on a piece tells of a second one too, without its mark.
 */
import type { InterventionRow } from './rows.js';
import { searchKey } from './search-keys.js';
import { ROWS_AT } from './search-rows-at.js';
import type { Tx } from './tx.js';

/** How many generations are known of a piece, by its full mark (`SLM.wI.2b.17`); 1 where none was replaced. */
export async function generationsOf(tx: Tx, siteId: string, pieceMark: string): Promise<number> {
  const rows = await tx.ask(ROWS_AT, siteId, searchKey('mark', pieceMark));
  const replacement = searchKey('mark', `${pieceMark}r`);
  const marks = rows.flatMap(({ keys }) => keys.filter((key) => key.startsWith(replacement)));
  const isReplaced = rows.some(({ keys }) => keys.includes(searchKey('operation', 'replace')));
  const [, window, panel, piece] = pieceMark.split('.');
  const drawn = await tx.query<{ mark: string }>(
    `SELECT p.mark FROM piece p JOIN panel o USING (panel_id) JOIN "window" w USING (window_id)
     WHERE w.site_id = $1 AND w.mark = $2 AND o.mark = $3 AND starts_with(p.mark, $4)`,
    [siteId, window, panel, `${piece}r`],
    ['piece', 'panel', 'window'],
  );
  const named = new Set([
    ...marks.map((key) => key.slice(2)),
    ...drawn.map(({ mark }) => `${siteOfMark(pieceMark)}.${window}.${panel}.${mark}`),
  ]);
  return Math.max(1 + named.size, isReplaced ? 2 : 1);
}

const siteOfMark = (mark: string) => mark.slice(0, mark.indexOf('.'));

/** Pieces whose generations this work may have told of. */
export function piecesReplaced({
  subjects,
  operation,
}: Pick<InterventionRow, 'subjects' | 'operation'>): string[] {
  const found = new Set<string>();
  for (const mark of subjects) {
    const place = /^(.+\.\d+)(?:(r)\d+)?$/.exec(mark);
    if (place === null || mark.split('.').length !== 4) continue;
    if (place[2] !== undefined || operation === 'replace') found.add(place[1]!);
  }
  return [...found];
}
