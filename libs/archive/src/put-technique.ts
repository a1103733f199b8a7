/** How a piece is made, as an entry says it: the row that people read, and what the search finds by it. */
import type { ProjectedEntry } from './command.js';
import { pieceFindable } from './piece-findable.js';
import { putRow } from './tables.js';
import type { Tx } from './tx.js';
import type { PieceTechnique } from './views/piece-technique-view.js';

export async function putTechnique(
  tx: Tx,
  entry: ProjectedEntry,
  {
    pieceId,
    panelId,
    said,
  }: { readonly pieceId: string; readonly panelId: string; readonly said: PieceTechnique },
): Promise<void> {
  await putRow(tx, 'piece_technique', {
    siteId: entry.siteId!,
    pieceId,
    panelId,
    said,
    happened: entry.happened,
    entrySeq: entry.seq,
    recordedAt: entry.recordedAt,
    version: entry.seq,
  });
  await pieceFindable(tx, entry, pieceId);
}
