/** Search rows of things whose names changed under them: the words anew, all else as it is. */
import type { InterventionRow, MediaRow } from '../rows.js';
import { findableText, interventionWords, mediaWords } from '../search-row.js';
import type { Tx } from '../tx.js';

export function refreshMedia(tx: Tx, row: MediaRow): Promise<number> {
  return refresh(tx, row.siteId, 'media', row.mediaId, findableText(mediaWords(row)));
}

export function refreshIntervention(tx: Tx, row: InterventionRow): Promise<number> {
  const text = findableText(interventionWords(row));
  return refresh(tx, row.siteId, 'intervention', row.interventionId, text);
}

function refresh(tx: Tx, siteId: string, kind: string, rowId: string, text: string) {
  return tx.run(
    'UPDATE search_row SET text = $4 WHERE site_id = $1 AND kind = $2 AND row_id = $3',
    [siteId, kind, rowId, text],
  );
}
