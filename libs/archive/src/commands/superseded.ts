import { STUDIO_LOG } from '../log-head.js';
import type { Tx } from '../tx.js';

/**
 * The newest entry of some types about one subject, as `supersedes` of a decision names it: a change
 * never takes the place of the entry before, it says which one that is.
 *
 * @param siteId null: the studio's log
 * @param members of the payload that must be equal too, where the subject's mark alone does not tell
 * @returns nothing when there is none
 */
export async function lastEntryAbout(
  tx: Tx,
  siteId: string | null,
  subject: string | null,
  types: readonly string[],
  members: Readonly<Record<string, string | number>> = {},
): Promise<{ supersedes?: { seq: number } }> {
  // $2 is named either way: a parameter that stands nowhere has no type
  const about = subject === null ? 'subject IS NULL AND $2::text IS NULL' : 'subject = $2';
  const row = await tx.first<{ seq: number }>(
    `SELECT seq FROM entry
     WHERE log_id = $1 AND ${about} AND type = ANY($3)
       AND (convert_from(bytes, 'UTF8')::jsonb -> 'payload') @> $4::jsonb
     ORDER BY seq DESC LIMIT 1`,
    [siteId ?? STUDIO_LOG, subject, types, JSON.stringify(members)],
  );
  return row === undefined ? {} : { supersedes: { seq: row.seq } };
}
