/**
 * The sealed part of a backup is kept once, so with a generation before the newest it knows more than
 * the history does: answers to requests that are lost again, persons who were not there yet. What the
 * history does not know is taken out, or a retry would be answered with an entry that is not there.
 */
import type { RowWriter } from './backup-tables.js';

const LATER_ROWS: Readonly<Record<string, string>> = {
  'public.session': 'true',
  'public.pairing': 'true',
  'public.idempotency': `NOT EXISTS (SELECT 1 FROM entry e
    WHERE e.log_id = answer->'entry'->>'logId' AND e.seq = (answer->'entry'->>'seq')::bigint)`,
  'public.api_token': 'created_at > (SELECT max(last_at) FROM log)',
  'public.derivative':
    'NOT EXISTS (SELECT 1 FROM stored_object o WHERE o.digest = derivative.source_digest)',
  'public.job_progress': `asked_at > (SELECT max(last_at) FROM log)`,
};

/** Uploads under way: what had arrived of them is no part of a backup, so they begin anew. */
export async function takeOutHalfUploads(writer: RowWriter): Promise<void> {
  await writer.query(`DELETE FROM upload WHERE media_id IS NULL AND NOT metadata ? 'digest'`);
}

/** @param tables full names of the tables that are there */
export async function takeOutLaterRows(
  writer: RowWriter,
  tables: readonly string[],
): Promise<void> {
  for (const [table, isLater] of Object.entries(LATER_ROWS)) {
    if (tables.includes(table)) await writer.query(`DELETE FROM ${table} WHERE ${isLater}`);
  }
}
