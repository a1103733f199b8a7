/**
 * A batch as one statement, so that a person who works alone waits for one commit and no more: the log
 * moves from the head that is known to the new one and the rows are written, or nothing is.
 */
import type { OneRow } from './batch-tx.js';
import type { LogPlace } from './known-heads.js';
import { type LogHead, lineOf, openLogOf, type SignedHead, STUDIO_LOG } from './log-head.js';
import { rowText, rowValues } from './row-insert.js';
import { type NamedStatement, prepared, type SqlClient } from './tx.js';

interface Move {
  readonly from: LogHead;
  readonly to: SignedHead;
  /** where the studio's log has to stand */
  readonly studio: LogPlace;
  readonly signedAt: Date;
}

/**
 * @returns whether it is committed; false when nothing was written
 * @throws when the connection is gone, and nobody knows
 */
export async function writeAtOnce(
  client: SqlClient,
  move: Move,
  rows: readonly OneRow[],
): Promise<boolean> {
  try {
    const { rows: moved } = await client.query(statementOf(move, rows));
    return moved.length === 1;
  } catch (error) {
    // What the server says itself comes with a code: SQLSTATE, appendix A of PostgreSQL's manual.
    if ((error as { code?: unknown; severity?: unknown }).severity !== 'ERROR') throw error;
    return false;
  }
}

function statementOf(
  { from, to, studio, signedAt }: Move,
  rows: readonly OneRow[],
): NamedStatement {
  const values: unknown[] = [
    to.logId,
    to.size,
    Buffer.from(to.rootHash),
    to.lastAt,
    to.signingKey,
    to.note,
    signedAt,
    lineOf(from),
    from.size,
    Buffer.from(from.rootHash),
    from.signingKey,
    studio.size,
    studio.rootHash,
  ];
  const text = textFor(rows, values.length + 1);
  for (const { target, columns, row } of rows) values.push(...rowValues(target, columns, row));
  return prepared(text, values);
}

/** Texts by tables and columns: as many as there are kinds of commands. */
const texts = new Map<string, string>();

function textFor(rows: readonly OneRow[], first: number): string {
  const kind = rows.map(({ target, signature }) => `${target.table} ${signature}`).join('\n');
  let text = texts.get(kind);
  if (text === undefined) {
    text = MOVED;
    for (const { target, columns } of rows) {
      text += `, ${target.table}_row AS (${rowText(target, columns, first, 'moved')})`;
      first += target.types === undefined ? 1 : columns.length;
    }
    text += ' SELECT log_id FROM moved';
    texts.set(kind, text);
  }
  return text;
}

const MOVED = `WITH moved AS (
    UPDATE log SET size = $2::bigint, root_hash = $3, last_at = $4, signing_key = $5
    WHERE log_id = $1 AND log_id = ${openLogOf('$8')}
      AND size = $9 AND root_hash = $10 AND signing_key IS NOT DISTINCT FROM $11
      AND EXISTS (SELECT 1 FROM log studio WHERE studio.log_id = ${openLogOf(`'${STUDIO_LOG}'`)}
        AND studio.size = $12 AND studio.root_hash = $13)
    RETURNING log_id),
  signed AS (
    INSERT INTO checkpoint (log_id, size, note, signed_at) SELECT log_id, $2::bigint, $6, $7::timestamptz FROM moved)`;
