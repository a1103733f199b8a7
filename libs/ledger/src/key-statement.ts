/**
 * What an archive says of its own key, as entries of every log it has.
 *
 * `key.announce` names the key that would follow if the one in force were lost, and the key that
 * backups are sealed to. `key.change` hands the log on to another key. Both are signed apart from the
 * checkpoints, over a text that names the log and the place in it, so that neither can be moved to
 * another log or another place, nor be taken for a checkpoint (whose first line has no space):
 *
 *     mullion key announcement v1           mullion key change v1
 *     mullion/ARCHIVE/studio                mullion/ARCHIVE/studio
 *     entry 0                               entry 41
 *     key NAME+ID+BASE64                    from FINGERPRINT   (`from unknown` where it is not known)
 *     successor NAME+ID+BASE64              to NAME+ID+BASE64
 *     sealing BASE64                        by old
 *
 * Each line ends in LF, UTF-8. Keys are verifier keys (C2SP signed-note), their name the log's origin
 * line; the sealing key is X25519 (RFC 7748), 32 bytes in base64. An announcement is signed by the key
 * in force; a change by the key before it (`by old`), else by the key that follows (`by successor`,
 * `by none`), which shows at least that whoever changed it holds the key. Ed25519, RFC 8032.
 */

import { base64Of, bytesOfBase64 } from './bytes.js';
import type { JsonValue } from './canonical.js';
import { fingerprintOf, readFingerprint } from './fingerprint.js';
import { ED25519_TYPE, formatVerifierKey, parseVerifierKey, verifierKey } from './verifier-key.js';

export const KEY_ANNOUNCE = 'key.announce';
export const KEY_CHANGE = 'key.change';

const KEY_BYTES = 32;
const SIGNATURE_BYTES = 64;

/**
 * Who signs a change: the key before it; the successor that was announced; neither. Only the first
 * two can be followed by somebody who knows the key before.
 */
export type SignedBy = 'old' | 'successor' | 'none';

/** Where a statement stands. */
export interface KeyPlace {
  /** origin line of the log */
  readonly origin: string;
  /** number of the entry */
  readonly seq: number;
}

/** An entry of another log of the same archive, carried along so that a log can be checked alone. */
export interface CarriedEntry extends KeyPlace {
  readonly type: string;
  readonly payload: JsonValue;
}

/** Payload of `key.announce`. */
export interface KeyAnnouncement {
  /** verifier key in force, named as the log */
  readonly key: string;
  /** verifier key of the successor, named as the log */
  readonly successor: string;
  /** X25519, base64 */
  readonly sealing: string;
  /** Ed25519 by `key`, base64 */
  readonly signature: string;
  /** in a log begun after the archive's key was changed: the changes, from the studio's log */
  readonly earlier?: readonly CarriedEntry[];
}

/** Payload of `key.change`. */
export interface KeyChange {
  /** fingerprint of the key before, null when nothing says which it was */
  readonly from: string | null;
  /** verifier key before, named as the log */
  readonly fromKey: string | null;
  /** verifier key that follows, named as the log */
  readonly to: string;
  readonly signedBy: SignedBy;
  /** Ed25519, base64, by `fromKey` when signed by the old key, else by `to` */
  readonly signature: string;
}

/** Who signs a statement: public key of 32 bytes, and the act. */
export interface StatementSigner {
  readonly publicKey: Uint8Array;
  sign(message: Uint8Array): Uint8Array;
}

export function announcementText(
  { origin, seq }: KeyPlace,
  { key, successor, sealing }: Pick<KeyAnnouncement, 'key' | 'successor' | 'sealing'>,
): string {
  return `mullion key announcement v1\n${origin}\nentry ${seq}\nkey ${key}\nsuccessor ${successor}\nsealing ${sealing}\n`;
}

export function changeText(
  { origin, seq }: KeyPlace,
  { from, to, signedBy }: Pick<KeyChange, 'from' | 'to' | 'signedBy'>,
): string {
  return `mullion key change v1\n${origin}\nentry ${seq}\nfrom ${from ?? 'unknown'}\nto ${to}\nby ${signedBy}\n`;
}

/**
 * An announcement by the key in force.
 * @param successor Ed25519 public key, 32 bytes
 * @param sealing X25519 public key, 32 bytes
 */
export function announcedKey(
  place: KeyPlace,
  signer: StatementSigner,
  {
    successor,
    sealing,
    earlier = [],
  }: { successor: Uint8Array; sealing: Uint8Array; earlier?: readonly CarriedEntry[] },
): KeyAnnouncement {
  const said = {
    key: named(place, signer.publicKey),
    successor: named(place, successor),
    sealing: base64Of(sealing),
  };
  return {
    ...said,
    signature: signed(signer, announcementText(place, said)),
    ...(earlier.length > 0 && { earlier }),
  };
}

/**
 * A change of the key.
 * @param from public key before, 32 bytes, or null when nothing says which it was
 * @param to public key that follows, 32 bytes
 * @param signer the old key when `signedBy` is old, else the key that follows
 */
export function changedKey(
  place: KeyPlace,
  from: Uint8Array | null,
  to: Uint8Array,
  signedBy: SignedBy,
  signer: StatementSigner,
): KeyChange {
  const said = {
    from: from === null ? null : fingerprintOf(from),
    fromKey: from === null ? null : named(place, from),
    to: named(place, to),
    signedBy,
  };
  return { ...said, signature: signed(signer, changeText(place, said)) };
}

/** The public key of a verifier key that is named as the log; undefined when it is none. */
export function keyOfLog(text: unknown, origin: string): Uint8Array | undefined {
  const key = typeof text === 'string' ? parseVerifierKey(text) : undefined;
  return key?.name === origin && key.type === ED25519_TYPE ? key.publicKey : undefined;
}

/** @returns undefined unless the payload has the members of an announcement; says nothing of its signature */
export function readAnnouncement(payload: JsonValue): KeyAnnouncement | undefined {
  if (!isRecord(payload)) return undefined;
  const { key, successor, sealing, signature, earlier, ...rest } = payload;
  if (Object.keys(rest).length > 0) return undefined;
  if (!isBytes(sealing, KEY_BYTES) || !isBytes(signature, SIGNATURE_BYTES)) return undefined;
  if (typeof key !== 'string' || typeof successor !== 'string') return undefined;
  if (earlier === undefined) return { key, successor, sealing, signature };
  if (!Array.isArray(earlier) || !earlier.every(isCarried)) return undefined;
  return { key, successor, sealing, signature, earlier: earlier as unknown as CarriedEntry[] };
}

/** @returns undefined unless the payload has the members of a change; says nothing of its signature */
export function readChange(payload: JsonValue): KeyChange | undefined {
  if (!isRecord(payload)) return undefined;
  const { from, fromKey, to, signedBy, signature, ...rest } = payload;
  if (Object.keys(rest).length > 0 || typeof to !== 'string') return undefined;
  if (!isBytes(signature, SIGNATURE_BYTES)) return undefined;
  if (from === null || fromKey === null) {
    if (from !== null || fromKey !== null || signedBy !== 'none') return undefined;
    return { from, fromKey, to, signedBy, signature };
  }
  if (typeof from !== 'string' || typeof fromKey !== 'string') return undefined;
  const reading = readFingerprint(from);
  if (!reading.ok || reading.fingerprint !== from) return undefined;
  if (signedBy !== 'old' && signedBy !== 'successor' && signedBy !== 'none') return undefined;
  return { from, fromKey, to, signedBy, signature };
}

function named({ origin }: KeyPlace, publicKey: Uint8Array): string {
  return formatVerifierKey(verifierKey(origin, publicKey));
}

function signed(signer: StatementSigner, text: string): string {
  return base64Of(signer.sign(new TextEncoder().encode(text)));
}

function isBytes(value: unknown, count: number): value is string {
  return typeof value === 'string' && bytesOfBase64(value)?.length === count;
}

function isCarried(value: unknown): boolean {
  if (!isRecord(value)) return false;
  const { origin, seq, type, payload, ...rest } = value;
  return (
    Object.keys(rest).length === 0 &&
    typeof origin === 'string' &&
    Number.isSafeInteger(seq) &&
    typeof type === 'string' &&
    payload !== undefined
  );
}

function isRecord(value: unknown): value is Record<string, JsonValue> {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}
