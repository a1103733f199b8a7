/** A name as an entry carries it, and as the rows show it. */
import { STUDIO_LOG } from '../log-head.js';
import type { Tx } from '../tx.js';
import { openText, sealText } from './seal.js';
import { keyOf, subjectNamed } from './subject-keys.js';

export interface SealedName {
  /** whose key opens it */
  readonly subjectId: string;
  /** base64url, see seal.ts */
  readonly sealed: string;
}

/** A text in entries that were written before names were sealed. */
export type EntryName = SealedName | string;

/** Where a name is sealed for: the log that the entry goes to, and the member of the payload. */
interface NamePlace {
  readonly siteId: string | null;
  readonly field: string;
}

/** Seals a name for the entry that is being decided, under the key of whoever bears it. */
export async function sealName(
  tx: Tx,
  name: string,
  { siteId, field }: NamePlace,
  now: Date,
): Promise<SealedName> {
  const { subjectId, key } = await subjectNamed(tx, name, now);
  return sealWith(tx, key, subjectId, name, { siteId, field });
}

export async function sealWith(
  tx: Tx,
  key: Uint8Array,
  subjectId: string,
  name: string,
  { siteId, field }: NamePlace,
): Promise<SealedName> {
  const log = await originOf(tx, siteId);
  return { subjectId, sealed: sealText(key, name, { log, subjectId, field }) };
}

/**
 * The name, or a pseudonym once its key is destroyed.
 *
 * @param log origin line that the entry names
 */
export async function shownName(
  tx: Tx,
  { subjectId, sealed }: SealedName,
  { log, field }: { log: string; field: string },
): Promise<string> {
  const key = await keyOf(tx, subjectId);
  return key === undefined
    ? pseudonymOf(subjectId)
    : openText(key, sealed, { log, subjectId, field });
}

/** Keeps two erased persons apart in a record without saying who they were. */
export function pseudonymOf(subjectId: string): string {
  return `erased person ${subjectId.slice(-6)}`;
}

/** What the row of an erased person says. No login that somebody can choose has a colon. */
export function erasedNames(personId: string): { displayName: string; login: string } {
  return { displayName: pseudonymOf(personId), login: `erased:${personId}` };
}

async function originOf(tx: Tx, siteId: string | null): Promise<string> {
  const row = await tx.first<{ origin: string }>('SELECT origin FROM log WHERE log_id = $1', [
    siteId ?? STUDIO_LOG,
  ]);
  return row!.origin;
}
