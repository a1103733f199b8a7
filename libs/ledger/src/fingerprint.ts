/**
 * The archive key as people copy it: from the owner's letter, a printed record, a sign-in page.
 *
 * Form: seven groups of four from an alphabet without look-alikes (no I, L, O, U), e.g.
 * `7K3Q-9F2M-…`. 26 letters are the first 130 bits of SHA-256 over a fixed line and the public key,
 * so that making another key with the same fingerprint takes about 2^130 tries; the last two letters
 * check the others, so that a slip of the pen is told apart from a forged key (a slip passes once
 * in 1,024). The alphabet is Crockford's base 32 (from memory); length and check are ours.
 */

import { type Sha256, sha256 } from './hash.js';

const ALPHABET = '0123456789ABCDEFGHJKMNPQRSTVWXYZ';
const DOMAIN = 'mullion archive key v1\n';
const KEY_LETTERS = 26;
const CHECK_LETTERS = 2;

/** @param publicKey Ed25519, 32 bytes */
export function fingerprintOf(publicKey: Uint8Array, hash: Sha256 = sha256): string {
  if (publicKey.length !== 32)
    throw new Error(`an Ed25519 public key has 32 bytes, got ${publicKey.length}`);
  const head = new TextEncoder().encode(DOMAIN);
  const bytes = new Uint8Array(head.length + publicKey.length);
  bytes.set(head);
  bytes.set(publicKey, head.length);
  const letters = base32(hash(bytes), KEY_LETTERS);
  return grouped(letters + checkLetters(letters, hash));
}

/** The first two groups: enough to recognise a key on a screen, not to verify with (40 bits). */
export function shortFingerprint(fingerprint: string): string {
  return fingerprint.slice(0, 9);
}

export type FingerprintReading = { ok: true; fingerprint: string } | { ok: false; reason: string };

/** Reads what a person typed: case, spaces and dashes do not matter, O is read as 0, I and L as 1. */
export function readFingerprint(typed: string, hash: Sha256 = sha256): FingerprintReading {
  const letters = typed
    .normalize('NFKC')
    .toUpperCase()
    .replace(/[\s\u2010-\u2015-]/g, '')
    .replace(/O/g, '0')
    .replace(/[IL]/g, '1');
  const stranger = /[^0-9A-HJKMNP-TV-Z]/.exec(letters);
  if (stranger !== null) return { ok: false, reason: `a fingerprint has no ${stranger[0]}` };
  if (letters.length !== KEY_LETTERS + CHECK_LETTERS) {
    return {
      ok: false,
      reason: `a fingerprint has 28 letters and digits, this has ${letters.length}; the short form on screens is not enough to verify with`,
    };
  }
  const key = letters.slice(0, KEY_LETTERS);
  if (checkLetters(key, hash) !== letters.slice(KEY_LETTERS)) {
    return {
      ok: false,
      reason: 'the fingerprint is mistyped: its last two letters do not fit the others',
    };
  }
  return { ok: true, fingerprint: grouped(letters) };
}

function checkLetters(letters: string, hash: Sha256): string {
  return base32(hash(new TextEncoder().encode(DOMAIN + letters)), CHECK_LETTERS);
}

function grouped(letters: string): string {
  return letters.replace(/(.{4})(?=.)/g, '$1-');
}

/** The first 5 · count bits, most significant first. */
function base32(bytes: Uint8Array, count: number): string {
  let text = '';
  let word = 0;
  let bits = 0;
  for (const byte of bytes) {
    word = ((word << 8) | byte) & 0xffff;
    bits += 8;
    while (bits >= 5 && text.length < count) {
      bits -= 5;
      text += ALPHABET[(word >> bits) & 31]!;
    }
    if (text.length === count) break;
  }
  return text;
}
