/** The successor of the archive's key, and the key that backups are sealed to, as the logs announce them. */
import { createPublicKey, type KeyObject } from 'node:crypto';
import {
  announcedKey,
  type CarriedEntry,
  carriedEntries,
  KEY_ANNOUNCE,
  KeyHistory,
  parseEntry,
} from '#libs/ledger';
import { type Author, appendEntry } from '../append-entry.js';
import { keyAnnounced } from '../commands/keys.js';
import { type LogHead, OPEN_LOG, STUDIO_LOG } from '../log-head.js';
import { type ArchiveSigner, type KeyRing, signerFor } from '../signer.js';
import type { Tx } from '../tx.js';

/** Public keys of a recovery sheet, 32 bytes each. */
export interface Successor {
  /** Ed25519 */
  readonly publicKey: Uint8Array;
  /** X25519 */
  readonly sealing: Uint8Array;
}

/** The `key.*` entries of a log in their order. */
export async function keyEntries(tx: Tx, logId: string): Promise<CarriedEntry[]> {
  const rows = await tx.query<{ bytes: Buffer }>(
    `SELECT e.bytes FROM key_event k JOIN entry e ON e.log_id = k.log_id AND e.seq = k.seq
     WHERE k.log_id = $1 ORDER BY k.seq`,
    [logId],
  );
  return rows.map(({ bytes }) => {
    const { log, seq, type, payload } = parseEntry(new Uint8Array(bytes));
    return { origin: log, seq, type, payload };
  });
}

/** @throws Error when an entry about a key does not hold: the archive itself never writes one */
export function historyOf(origin: string, entries: readonly CarriedEntry[]): KeyHistory {
  const history = new KeyHistory(origin);
  for (const entry of entries) {
    const problem = history.add(entry);
    if (problem !== undefined) throw new Error(`${origin}: ${problem}`);
  }
  return history;
}

/** What a log that begins says of the archive's keys, taken from the studio's log. */
export interface KeysInForce {
  /** fingerprint of the key in force, null before the first signed head */
  readonly signingKey: string | null;
  /** the same by the log's own history; undefined before it told of any */
  readonly current: { readonly publicKey: Uint8Array; readonly fingerprint: string } | undefined;
  readonly successor: Successor | undefined;
  readonly carried: readonly CarriedEntry[];
}

export async function keysInForce(tx: Tx): Promise<KeysInForce> {
  const log = await tx.first<{ logId: string; origin: string; signingKey: string | null }>(
    `SELECT log_id, origin, signing_key FROM log WHERE log_id = ${OPEN_LOG}`,
    [STUDIO_LOG],
  );
  if (log === undefined) {
    return { signingKey: null, current: undefined, successor: undefined, carried: [] };
  }
  const entries = await keyEntries(tx, log.logId);
  const { current, announced } = historyOf(log.origin, entries);
  return {
    signingKey: log.signingKey,
    current,
    successor: announced,
    carried: carriedEntries(entries),
  };
}

/** Fingerprint of the key in force: the one that signed the studio's last head. */
export async function signingKeyOf(tx: Tx): Promise<string | null> {
  const row = await tx.first<{ signingKey: string | null }>(
    `SELECT signing_key FROM log WHERE log_id = ${OPEN_LOG}`,
    [STUDIO_LOG],
  );
  return row?.signingKey ?? null;
}

/** Begins a log with the archive's announcement; unchanged while the archive has announced nothing. */
export async function announceInLog(
  tx: Tx,
  head: LogHead,
  { signingKey, successor, carried }: KeysInForce,
  keys: KeyRing,
  by: Author,
): Promise<LogHead> {
  if (successor === undefined) return { ...head, signingKey };
  return announce(
    tx,
    { ...head, signingKey },
    successor,
    signerFor(keys, { signingKey }),
    by,
    carried,
  );
}

/** Appends an announcement to a locked log. @returns the head after it, not stored yet */
export async function announce(
  tx: Tx,
  head: LogHead,
  { publicKey, sealing }: Successor,
  signer: ArchiveSigner,
  by: Author,
  earlier: readonly CarriedEntry[] = [],
): Promise<LogHead> {
  const place = { origin: head.origin, seq: head.size };
  const payload = announcedKey(place, signer, { successor: publicKey, sealing, earlier });
  const appended = await appendEntry(tx, head, KEY_ANNOUNCE, { ...decided(head), payload }, by);
  await keyAnnounced.project(appended.entry, tx);
  return { ...appended.head, signingKey: signer.fingerprint };
}

/** What every entry about a key has in common. */
export function decided({ siteId }: Pick<LogHead, 'siteId'>) {
  return {
    log: siteId === null ? ('studio' as const) : { siteId },
    subject: null,
    happened: null,
  };
}

/** X25519 public key of the recovery sheet in force; undefined where none was announced. */
export async function sealingKeyOf(tx: Tx): Promise<KeyObject | undefined> {
  const last = await tx.first<{ sealing: string | null }>(
    `SELECT sealing FROM key_event WHERE log_id = ${OPEN_LOG} ORDER BY seq DESC LIMIT 1`,
    [STUDIO_LOG],
  );
  if (last?.sealing == null) return undefined;
  const x = Buffer.from(last.sealing, 'base64').toString('base64url');
  return createPublicKey({ key: { kty: 'OKP', crv: 'X25519', x }, format: 'jwk' });
}
