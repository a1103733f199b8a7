/** What lies beside the ledger and must go with a person: keys, secrets, and copies of names. */
import type { Tx } from '../tx.js';
import { nameKey } from './subject-keys.js';

export interface Forgotten {
  /** null: somebody without an account */
  readonly personId: string | null;
  readonly subjectIds: readonly string[];
  /** as they are written in rows, for the copies that no id leads to */
  readonly names: readonly string[];
}

/** In the transaction of the entry that says so: after it nobody can read the names again. */
export async function forget(tx: Tx, { personId, subjectIds, names }: Forgotten): Promise<void> {
  await tx.run('DELETE FROM keeping.subject_key WHERE subject_id = ANY($1::uuid[])', [subjectIds]);
  if (personId !== null) {
    await tx.run('DELETE FROM keeping.credential WHERE person_id = $1', [personId]);
    await tx.run('DELETE FROM keeping.person_before WHERE person_id = $1', [personId]);
    await tx.run('DELETE FROM session WHERE person_id = $1', [personId]);
    await tx.run('DELETE FROM api_token WHERE person_id = $1', [personId]);
    await tx.run('DELETE FROM pairing WHERE person_id = $1', [personId]);
  }
  await clearCopies(tx, names);
}

/**
 * Answers kept for a retry and uploads on their way hold names as the request had them. A retry
 * that comes after all is refused, never done twice: its request is not known any more.
 */
async function clearCopies(tx: Tx, names: readonly string[]): Promise<void> {
  for (const name of names) {
    // as a JSON string: with its quotes, so that a name is never part of a longer word
    await tx.run(
      `UPDATE idempotency SET answer = '{"erased": true}', request_digest = 'erased'
       WHERE position($1 in lower(regexp_replace(answer::text, '\\s+', ' ', 'g'))) > 0`,
      [JSON.stringify(nameKey(name))],
    );
    await tx.run(
      `UPDATE upload SET metadata = metadata #- '{said,description,author}'
       WHERE lower(regexp_replace(metadata #>> '{said,description,author}', '\\s+', ' ', 'g')) = $1`,
      [nameKey(name)],
    );
  }
}
