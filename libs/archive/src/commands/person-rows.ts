/** What several commands ask of the rows of persons. */
import { Problem } from '#libs/problem';
import type { PersonRow } from '../rows.js';
import { findRow } from '../tables.js';
import type { Tx } from '../tx.js';

/** @throws {Problem} `person-unknown`, `person-erased` */
export async function presentPerson(tx: Tx, personId: string): Promise<PersonRow> {
  const row = await findRow(tx, 'person', { personId });
  if (row === undefined) {
    throw new Problem('person-unknown', 'No person has this id. Read the list of people again.');
  }
  if (row.erasedAt !== null) {
    throw new Problem(
      'person-erased',
      `This person was erased on ${row.erasedAt.toISOString().slice(0, 10)}. Add them anew if they are to sign in again.`,
    );
  }
  return row;
}

/**
 * An archive without a keeper could never get one again.
 *
 * @throws {Problem} `last-keeper`
 */
export async function anotherKeeper(
  tx: Tx,
  without: { withoutGrantId: string } | { withoutPersonId: string },
): Promise<void> {
  const [column, id] =
    'withoutGrantId' in without
      ? ['g.grant_id', without.withoutGrantId]
      : ['g.person_id', without.withoutPersonId];
  const other = await tx.first(
    `SELECT 1 FROM role_grant g JOIN person p USING (person_id)
     JOIN keeping.credential c USING (person_id)
     WHERE g.role = 'keeper' AND g.site_id IS NULL AND ${column} <> $1 AND NOT p.disabled`,
    [id],
  );
  if (other !== undefined) return;
  throw new Problem(
    'last-keeper',
    'Make another person who can sign in keeper of the whole studio first.',
  );
}
