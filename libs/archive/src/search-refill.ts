/** Search rows written before there was anything to filter by: brought up to date, some at a time. */
import { pieceFacts } from './piece-findable.js';
import { panelPlace } from './place.js';
import type { InterventionRow } from './rows.js';
import type { Facts } from './search-keys.js';
import { type Findable, filteredBy } from './search-row.js';
import { interventionFacts, shownBy } from './search-shows.js';
import { findRow } from './tables.js';
import { type SqlPool, Tx } from './tx.js';

const ROWS_AT_ONCE = 500;

interface Waiting {
  siteId: string;
  kind: Findable['kind'];
  rowId: string;
  subject: string;
  stage: string | null;
  happened: string | null;
  recordedAt: Date;
}

/**
 * Fills the filters of all rows that wait for them; nothing to do costs one look into an empty index.
 *
 * @returns rows that were filled
 */
export async function refillSearch(pool: SqlPool, signal?: AbortSignal): Promise<number> {
  const tx = new Tx(pool);
  let count = 0;
  while (signal?.aborted !== true) {
    const rows = await tx.query<Waiting>(
      `SELECT site_id, kind, row_id, subject, stage, happened, recorded_at FROM search_row
       WHERE keys IS NULL LIMIT ${ROWS_AT_ONCE}`,
    );
    for (const row of rows) await refill(tx, row);
    count += rows.length;
    if (rows.length < ROWS_AT_ONCE) break;
  }
  return count;
}

async function refill(tx: Tx, row: Waiting): Promise<void> {
  const facts = await factsOf(tx, row);
  const { earliest, latest, happenedSure, keys } = filteredBy({ ...row, facts });
  // A row that was written meanwhile has its filters and is let be.
  await tx.run(
    `UPDATE search_row SET earliest = $4, latest = $5, happened_sure = $6, keys = $7
     WHERE site_id = $1 AND kind = $2 AND row_id = $3 AND keys IS NULL`,
    [row.siteId, row.kind, row.rowId, earliest, latest, happenedSure, keys],
  );
}

async function factsOf(tx: Tx, { siteId, kind, rowId }: Waiting): Promise<Partial<Facts>> {
  switch (kind) {
    case 'finding': {
      const row = await tx.first<{ panelId: string; inPanel: string | null; term: string }>(
        'SELECT panel_id, in_panel, term FROM finding WHERE finding_id = $1',
        [rowId],
      );
      if (row === undefined) return {};
      return { term: row.term, shows: [await shownBy(tx, row.panelId, row.inPanel)] };
    }
    case 'intervention': {
      const row = await tx.first<InterventionRow>(
        'SELECT * FROM intervention WHERE intervention_id = $1',
        [rowId],
      );
      return row === undefined ? {} : interventionFacts(tx, siteId, row);
    }
    case 'media': {
      const row = await tx.first<{ subjects: string[] }>(
        'SELECT subjects FROM media WHERE media_id = $1',
        [rowId],
      );
      return row === undefined || row.subjects.length === 0 ? {} : { marks: row.subjects };
    }
    case 'panel': {
      const row = await findRow(tx, 'panel', { panelId: rowId });
      return { shows: [row?.shows ?? null] };
    }
    case 'piece': {
      const row = await findRow(tx, 'piece', { pieceId: rowId });
      if (row === undefined) return {};
      const { fullMark } = await panelPlace(tx, row.panelId);
      return (await pieceFacts(tx, row, fullMark)).facts;
    }
    default:
      return {};
  }
}
