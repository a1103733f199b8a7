/** What others signed of a log: cosigned checkpoints, and alarms that stand. */

import type { Tx } from '../tx.js';
import type { AlarmKind } from './ask-witness.js';

export interface SeenCheckpoint {
  readonly size: number;
  /** with the lines of those who cosigned it */
  readonly note: string;
}

/** The note with every cosignature that is kept for it. @param size of that checkpoint */
export async function withCosignatures(
  tx: Tx,
  { origin, size, note }: { origin: string; size: number; note: string },
): Promise<string> {
  const rows = await tx.query<{ line: string }>(
    `SELECT line FROM cosignature WHERE origin = $1 AND size = $2
     ORDER BY stated_at, key_name, key_id`,
    [origin, size],
  );
  return note + rows.map(({ line }) => line).join('');
}

/** The newest checkpoint of at most `size` entries that somebody cosigned. */
export async function newestSeen(
  tx: Tx,
  { logId, origin }: { logId: string; origin: string },
  size = Number.MAX_SAFE_INTEGER,
): Promise<SeenCheckpoint | undefined> {
  const row = await tx.first<{ size: number; note: string }>(
    `SELECT c.size, c.note FROM checkpoint c
     WHERE c.log_id = $1 AND split_part(c.note, E'\\n', 1) = $2 AND c.size = (
       SELECT max(size) FROM cosignature WHERE origin = $2 AND size <= $3)`,
    [logId, origin, size],
  );
  return row && { size: row.size, note: await withCosignatures(tx, { origin, ...row }) };
}

export interface StandingAlarm {
  readonly origin: string;
  readonly logId: string;
  readonly siteId: string | null;
  readonly witness: string;
  readonly kind: AlarmKind;
  readonly theirSize: number;
  readonly ourSize: number;
  readonly says: string;
  readonly noticedAt: Date;
}

/** An alarm stands until that witness cosigns a later head of the same log. */
export function standingAlarms(tx: Tx): Promise<StandingAlarm[]> {
  return tx.query<StandingAlarm>(
    `SELECT a.*, l.log_id, l.site_id FROM witness_alarm a JOIN log l ON l.origin = a.origin
     WHERE NOT EXISTS (SELECT 1 FROM cosignature c WHERE c.origin = a.origin
       AND c.key_name = a.witness AND c.received_at > a.noticed_at)
     ORDER BY a.noticed_at`,
  );
}

export interface KeptTimeToken {
  readonly size: number;
  /** the checkpoint as it was stamped */
  readonly note: string;
  readonly authority: string;
  readonly token: Uint8Array;
  readonly statedAt: Date;
}

/** The newest token over a checkpoint of at most `size` entries. */
export async function newestTimeToken(
  tx: Tx,
  { logId, origin }: { logId: string; origin: string },
  size = Number.MAX_SAFE_INTEGER,
): Promise<KeptTimeToken | undefined> {
  return tx.first<KeptTimeToken>(
    `SELECT t.size, c.note, t.authority, t.token, t.stated_at
     FROM time_token t JOIN checkpoint c ON c.log_id = $1 AND c.size = t.size
     WHERE t.origin = $2 AND t.size <= $3 AND split_part(c.note, E'\\n', 1) = $2
     ORDER BY t.size DESC, t.stated_at LIMIT 1`,
    [logId, origin, size],
  );
}

/** The first token over a checkpoint that holds an entry: the earliest time it is proven for. */
export async function firstTimeTokenOver(
  tx: Tx,
  { logId, origin }: { logId: string; origin: string },
  seq: number,
): Promise<KeptTimeToken | undefined> {
  return tx.first<KeptTimeToken>(
    `SELECT t.size, c.note, t.authority, t.token, t.stated_at
     FROM time_token t JOIN checkpoint c ON c.log_id = $1 AND c.size = t.size
     WHERE t.origin = $2 AND t.size > $3 AND split_part(c.note, E'\\n', 1) = $2
     ORDER BY t.size, t.stated_at LIMIT 1`,
    [logId, origin, seq],
  );
}
