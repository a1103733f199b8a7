/** Search rows of an archive from before: those without filters get theirs, those that are missing are made. */
import { pieceFacts } from './piece-findable.js';
import { panelPlace } from './place.js';
import type { InterventionRow, JoiningRow } from './rows.js';
import type { Facts } from './search-keys.js';
import { type Findable, filteredBy, makeFindable } from './search-row.js';
import { interventionFacts, shownBy } from './search-shows.js';
import { joiningFindable } from './shards/joining-findable.js';
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
 * Makes the rows that are missing and fills the filters of all that wait for them.
 *
 * @returns rows that were made or filled
 */
export async function refillSearch(pool: SqlPool, signal?: AbortSignal): Promise<number> {
  let count = await makeJoinings(pool);
  // A piece is told its generations by the filters of work on it, which must be there.
  for (const which of ["kind <> 'piece'", "kind = 'piece'"]) {
    count += await fillWaiting(new Tx(pool), which, signal);
  }
  return count;
}

async function fillWaiting(tx: Tx, which: string, signal?: AbortSignal): Promise<number> {
  let count = 0;
  while (signal?.aborted !== true) {
    const rows = await tx.query<Waiting>(
      `SELECT site_id, kind, row_id, subject, stage, happened, recorded_at FROM search_row
       WHERE keys IS NULL AND ${which} LIMIT ${ROWS_AT_ONCE}`,
    );
    for (const row of rows) await refill(tx, row);
    count += rows.length;
    if (rows.length < ROWS_AT_ONCE) break;
  }
  return count;
}

/** Kept assemblies of shards were not found by search at first. */
async function makeJoinings(pool: SqlPool): Promise<number> {
  const missing = await missingJoinings(new Tx(pool));
  if (missing.length === 0) return 0;
  const client = await pool.connect();
  const tx = new Tx(client);
  try {
    await tx.run('BEGIN');
    // As an append does: none of them is taken back or replaced meanwhile.
    await tx.query('SELECT log_id FROM log ORDER BY log_id FOR UPDATE');
    const rows = await missingJoinings(tx);
    for (const row of rows) await makeFindable(tx, row, await joiningFindable(tx, row));
    await tx.run('COMMIT');
    client.release();
    return rows.length;
  } catch (error) {
    client.release(true);
    throw error;
  }
}

function missingJoinings(tx: Tx) {
  return tx.query<JoiningRow & { readonly laid: readonly unknown[] }>(
    `SELECT j.* FROM joining j WHERE j.state = 'recorded' AND NOT EXISTS (
       SELECT 1 FROM search_row s
       WHERE s.site_id = j.site_id AND s.kind = 'joining' AND s.row_id = j.joining_id::text)`,
  );
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
