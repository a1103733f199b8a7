/** Objects whose bytes were destroyed on request: the tombstone that is read in their place. */
import { entryName } from '#libs/ledger';
import { Problem } from '#libs/problem';
import type { WithdrawnObjectRow } from './rows.js';
import { findRow } from './tables.js';
import type { Tx } from './tx.js';

/** @throws {Problem} `object-withdrawn` with the entry that says so */
export async function refuseWithdrawn(tx: Tx, digest: string): Promise<void> {
  const row = await findRow(tx, 'withdrawn_object', { digest });
  if (row !== undefined) throw withdrawnProblem(row);
}

export function withdrawnProblem(row: WithdrawnObjectRow): Problem {
  const on = row.at.toISOString().slice(0, 10);
  return new Problem(
    'object-withdrawn',
    `Withdrawn on ${on}, ${entryName(Number(row.seq))}: ${row.reason}. The bytes were destroyed; their digest and what was recorded of them stay.`,
    { digest: row.digest, siteId: row.siteId, entrySeq: Number(row.seq) },
  );
}
