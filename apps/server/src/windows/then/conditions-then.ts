/** Condition classes of the panels of a window that were said and not taken back. */
import type { ConditionRow, Tx } from '#libs/archive';
import type { KnownThen } from './moment.js';

export function conditionsThen(
  tx: Tx,
  siteId: string,
  windowId: string,
  known: KnownThen | null,
): Promise<ConditionRow[]> {
  return tx.query<ConditionRow>(
    `SELECT c.* FROM condition c JOIN panel p USING (panel_id)
     WHERE p.site_id = $1 AND p.window_id = $2
       AND ($3::bigint IS NULL AND c.state = 'recorded'
         OR c.entry_seq <= $3 AND coalesce(c.withdrawn_seq > $3, true))`,
    [siteId, windowId, known?.place ?? null],
  );
}
