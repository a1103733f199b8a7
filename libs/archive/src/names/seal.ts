/**
 * AES-256-GCM of one personal field (NIST SP 800-38D), so that an entry commits to ciphertext only.
 *
 * A sealed field is nonce (12 bytes) ‖ ciphertext ‖ tag (16 bytes), base64url. The nonce is random: a
 * key seals far fewer than the 2³² texts that section 8.3 allows for random nonces.
 */
import { createCipheriv, createDecipheriv, randomBytes } from 'node:crypto';
import { canonicalBytes } from '#libs/ledger';

const NONCE_BYTES = 12;
const TAG_BYTES = 16;
/** Texts are filled up to a multiple of this, so that their length tells little. */
const BLOCK_BYTES = 64;

/** What a sealed text belongs to: it opens nowhere else. */
export interface SealPlace {
  /** origin line of the log */
  readonly log: string;
  readonly subjectId: string;
  readonly field: string;
}

/** @param key 32 bytes */
export function sealBytes(
  key: Uint8Array,
  plain: Uint8Array,
  associated: Uint8Array,
  nonce: Uint8Array = randomBytes(NONCE_BYTES),
): Uint8Array {
  const cipher = createCipheriv('aes-256-gcm', key, nonce, { authTagLength: TAG_BYTES });
  cipher.setAAD(associated);
  return Buffer.concat([nonce, cipher.update(plain), cipher.final(), cipher.getAuthTag()]);
}

/** @throws Error when key, place or bytes are others than those sealed with */
export function openBytes(key: Uint8Array, sealed: Uint8Array, associated: Uint8Array): Uint8Array {
  const end = sealed.length - TAG_BYTES;
  if (end < NONCE_BYTES) throw new Error('a sealed text has at least 28 bytes');
  const decipher = createDecipheriv('aes-256-gcm', key, sealed.subarray(0, NONCE_BYTES), {
    authTagLength: TAG_BYTES,
  });
  decipher.setAAD(associated);
  decipher.setAuthTag(sealed.subarray(end));
  return Buffer.concat([decipher.update(sealed.subarray(NONCE_BYTES, end)), decipher.final()]);
}

/** @returns base64url */
export function sealText(key: Uint8Array, text: string, place: SealPlace): string {
  const plain = Buffer.from(JSON.stringify(text));
  // white space after a JSON text is no part of it
  const filled = Buffer.alloc(Math.ceil(plain.length / BLOCK_BYTES) * BLOCK_BYTES, ' ');
  filled.set(plain);
  return Buffer.from(sealBytes(key, filled, associatedOf(place))).toString('base64url');
}

export function openText(key: Uint8Array, sealed: string, place: SealPlace): string {
  const plain = openBytes(key, Buffer.from(sealed, 'base64url'), associatedOf(place));
  return JSON.parse(Buffer.from(plain).toString('utf8')) as string;
}

function associatedOf({ log, subjectId, field }: SealPlace): Uint8Array {
  return canonicalBytes({ field, log, subjectId });
}
