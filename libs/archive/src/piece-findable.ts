/** The search row of a piece: what it shows, how it is made, and how many generations of glass are known of it. */
import type { ProjectedEntry } from './command.js';
import { pieceMarkOf } from './marks.js';
import { panelPlace } from './place.js';
import type { InterventionRow, PieceRow } from './rows.js';
import { generationsOf, piecesReplaced } from './search-generations.js';
import { forgetFindable, makeFindable } from './search-row.js';
import { findRow, findRows } from './tables.js';
import { techniqueOf, techniquesIn, techniqueWords } from './technique-facts.js';
import type { Tx } from './tx.js';
import { unknown } from './unknown.js';

/** Brings the search row of a piece up to date; it goes where there is nothing to be found by. */
export async function pieceFindable(tx: Tx, entry: ProjectedEntry, pieceId: string): Promise<void> {
  const row = await findRow(tx, 'piece', { pieceId });
  if (row === undefined) throw unknown('piece');
  const place = await panelPlace(tx, row.panelId);
  const { technique, facts } = await pieceFacts(tx, row, place.fullMark);
  const { generations } = facts;
  if (row.shows === null && row.glass === null && generations < 2 && technique === undefined) {
    await forgetFindable(tx, row.siteId, 'piece', pieceId);
    return;
  }
  const subject = pieceMarkOf(place.fullMark, row.mark);
  await makeFindable(
    tx,
    { ...entry, happened: null },
    {
      kind: 'piece',
      rowId: pieceId,
      subject,
      windowMark: place.windowMark,
      title: row.provisional ? `${subject} (provisional)` : subject,
      text: [
        row.shows,
        row.glass,
        ...(technique === undefined ? [] : techniqueWords(technique)),
        generations < 2 ? null : `${generations} generations`,
      ],
      facts,
    },
  );
}

/** How a piece is made, and what it can be filtered by. */
export async function pieceFacts(tx: Tx, row: PieceRow, panelMark: string) {
  const technique = await techniqueOf(tx, row.pieceId);
  const generations = Math.max(
    await generationsAt(tx, row, panelMark),
    1 + (technique?.generations.length ?? 0),
  );
  const techniques = technique === undefined ? [] : techniquesIn(technique);
  return { technique, facts: { shows: [row.shows], generations, techniques } };
}

/** After work that tells of a replaced piece. */
export async function keepGenerations(
  tx: Tx,
  entry: ProjectedEntry,
  work: Pick<InterventionRow, 'subjects' | 'operation'>,
): Promise<void> {
  for (const pieceMark of piecesReplaced(work)) {
    const row = await tx.first<{ pieceId: string }>(
      `SELECT p.piece_id FROM piece p JOIN panel o USING (panel_id) JOIN "window" w USING (window_id)
       WHERE w.site_id = $1 AND w.mark = $2 AND o.mark = $3
         AND (p.mark = $4 OR starts_with(p.mark, $4 || 'r')) AND NOT p.retired
       ORDER BY p.provisional, p.sort_key LIMIT 1`,
      [entry.siteId, ...pieceMark.split('.').slice(1)],
      ['piece', 'panel', 'window'],
    );
    if (row !== undefined) await pieceFindable(tx, entry, row.pieceId);
  }
}

/** Told of the piece under its first number; of a replacement only where that is not drawn any more. */
async function generationsAt(tx: Tx, row: PieceRow, panelMark: string): Promise<number> {
  const number = /^\d+(?=$|r\d)/.exec(row.mark)?.[0];
  if (number === undefined || row.provisional) return 1;
  if (row.mark !== number) {
    const first = await findRows(tx, 'piece', {
      panelId: row.panelId,
      mark: number,
      retired: false,
    });
    if (first.length > 0) return 1;
  }
  return generationsOf(tx, row.siteId, pieceMarkOf(panelMark, number));
}
