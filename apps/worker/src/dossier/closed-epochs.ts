/** Logs of a site that closed before the one that holds a dossier's asking: they go with it. */
import { historyOf, keyEntries, type Tx } from '#libs/archive';
import { formatVerifierKey, verifierKey } from '#libs/ledger';

export interface ClosedEpoch {
  readonly logId: string;
  readonly size: number;
  /** its last signed head */
  readonly note: string;
  /** verifier key of the one who signed it */
  readonly key: string;
}

/** @param current the key in force, for logs that never told of theirs */
export async function closedEpochs(
  tx: Tx,
  siteId: string,
  before: number,
  current: Uint8Array,
): Promise<ClosedEpoch[]> {
  const rows = await tx.query<{ logId: string; origin: string; size: number; note: string }>(
    `SELECT l.log_id, l.origin, l.size, c.note
     FROM log l JOIN checkpoint c ON c.log_id = l.log_id AND c.size = l.size
     WHERE l.site_id = $1::uuid AND l.epoch < $2 ORDER BY l.epoch`,
    [siteId, before],
  );
  const closed: ClosedEpoch[] = [];
  for (const { logId, origin, size, note } of rows) {
    const history = historyOf(origin, await keyEntries(tx, logId));
    const key = formatVerifierKey(verifierKey(origin, history.keyFor(size) ?? current));
    closed.push({ logId, size, note, key });
  }
  return closed;
}
