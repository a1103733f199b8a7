/**
 * The key of each person and of each name without an account. Keys stand in the schema `keeping`: no
 * projection, no part of a log, and destroyed for good when somebody asks to be forgotten.
 */
import { randomBytes } from 'node:crypto';
import { uuidV7 } from '../id.js';
import type { Tx } from '../tx.js';

/** The same name however it was spaced and capitalised. */
export function nameKey(name: string): string {
  return name.normalize('NFC').trim().replace(/\s+/g, ' ').toLowerCase();
}

/** @returns undefined when the key was destroyed, or never was */
export async function keyOf(tx: Tx, subjectId: string): Promise<Uint8Array | undefined> {
  const row = await tx.first<{ key: Buffer }>(
    'SELECT key FROM keeping.subject_key WHERE subject_id = $1',
    [subjectId],
  );
  return row?.key;
}

export async function makeKey(tx: Tx, subjectId: string, name: string, now: Date): Promise<Buffer> {
  const key = randomBytes(32);
  await tx.run(
    'INSERT INTO keeping.subject_key (subject_id, key, name, made_at) VALUES ($1, $2, $3, $4)',
    [subjectId, key, nameKey(name), now],
  );
  return key;
}

/** Who bears the name: a person with an account first, else the one known longest. */
export async function subjectNamed(
  tx: Tx,
  name: string,
  now: Date,
): Promise<{ subjectId: string; key: Uint8Array }> {
  const known = await tx.first<{ subjectId: string; key: Buffer }>(
    `SELECT k.subject_id, k.key FROM keeping.subject_key k
     LEFT JOIN person p ON p.person_id = k.subject_id
     WHERE k.name = $1 ORDER BY p.person_id IS NULL, k.made_at, k.subject_id LIMIT 1`,
    [nameKey(name)],
  );
  if (known !== undefined) return known;
  const subjectId = uuidV7(now.getTime());
  return { subjectId, key: await makeKey(tx, subjectId, name, now) };
}

/** Everybody with one of these names whose key is there. */
export async function subjectsNamed(tx: Tx, names: readonly string[]): Promise<string[]> {
  const rows = await tx.query<{ subjectId: string }>(
    'SELECT subject_id FROM keeping.subject_key WHERE name = ANY($1) ORDER BY subject_id',
    [names.map(nameKey)],
  );
  return rows.map((row) => row.subjectId);
}
