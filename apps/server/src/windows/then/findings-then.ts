/** Findings of a window as they stood, counted by panel and term or by piece and term. */
import type { Tx } from '#libs/archive';
import { isBy } from './happened-by.js';
import type { Moment } from './moment.js';
import { type EntryThen, walkBack } from './walk-back.js';

export interface FindingThen {
  readonly panelId: string;
  readonly inPanel: string | null;
  readonly term: string;
  readonly happened: string | null;
  readonly recordedAt: Date;
  /** how many alike */
  readonly count: number;
}

/** @param byPiece keeps those in different pieces apart */
export async function findingsThen(
  tx: Tx,
  siteId: string,
  windowId: string,
  { until, known }: Moment,
  byPiece = false,
): Promise<FindingThen[]> {
  const piece = byPiece ? 'f.in_panel' : 'NULL::text';
  const rows = await tx.query<FindingThen>(
    `SELECT f.panel_id, ${piece} AS in_panel, f.term, f.happened,
            max(f.recorded_at) AS recorded_at, count(*) AS count
     FROM finding f JOIN panel p USING (panel_id)
     WHERE p.site_id = $1 AND p.window_id = $2 AND f.state = 'recorded'
       AND ($3::bigint IS NULL OR f.version <= $3)
     GROUP BY 1, 2, 3, 4, (f.recorded_at AT TIME ZONE 'UTC')::date`,
    [siteId, windowId, known?.place ?? null],
  );
  const all =
    known === null ? rows : [...rows, ...(await changedSince(tx, siteId, windowId, known.place))];
  return all.filter(({ happened, recordedAt }) => isBy(until, happened, recordedAt));
}

/** Those that were revised or withdrawn afterwards, as they were said before. */
async function changedSince(
  tx: Tx,
  siteId: string,
  windowId: string,
  place: number,
): Promise<FindingThen[]> {
  const changed = await tx.query<{ version: number }>(
    `SELECT f.version FROM finding f JOIN panel p USING (panel_id)
     WHERE p.site_id = $1 AND p.window_id = $2 AND f.version > $3`,
    [siteId, windowId, place],
  );
  const then = await walkBack(
    tx,
    siteId,
    changed.map(({ version }) => version),
    place,
  );
  return then.flatMap((entry) =>
    entry === undefined || entry.type === 'finding.withdraw' ? [] : [asFinding(entry)],
  );
}

function asFinding({ payload, happened, recordedAt }: EntryThen): FindingThen {
  return {
    panelId: payload['panelId'] as string,
    inPanel: payload['inPanel'] as string | null,
    term: payload['term'] as string,
    happened,
    recordedAt,
    count: 1,
  };
}
