/**
 * A public key with its name: `name+keyid+base64(type ‖ key)`.
 *
 * Source: C2SP signed-note v1 (key ids, types), C2SP tlog-cosignature v1 (type 0x04).
 */

import { base64Of, bytesOfBase64, hexOf } from './bytes.js';
import { type Sha256, sha256 } from './hash.js';

export const ED25519_TYPE = 0x01;
export const COSIGNATURE_TYPE = 0x04;

export interface VerifierKey {
  name: string;
  /** 8 lower-case hexadecimal digits; finds the key, does not secure it */
  keyId: string;
  type: typeof ED25519_TYPE | typeof COSIGNATURE_TYPE;
  /** 32 bytes */
  publicKey: Uint8Array;
}

/** Key names: not empty, no Unicode space, no `+` (C2SP signed-note, "Format"); no control characters. */
export function isKeyName(name: string): boolean {
  // eslint-disable-next-line no-control-regex -- the format forbids exactly these
  return name.length > 0 && name.length <= 255 && !/[\s+\u0000-\u001f\u0085]/u.test(name);
}

/** SHA-256(name ‖ LF ‖ type ‖ key), first four bytes, as hexadecimal. */
export function keyIdOf(
  name: string,
  publicKey: Uint8Array,
  type: VerifierKey['type'] = ED25519_TYPE,
  hash: Sha256 = sha256,
): string {
  const head = new TextEncoder().encode(`${name}\n`);
  const bytes = new Uint8Array(head.length + 1 + publicKey.length);
  bytes.set(head);
  bytes[head.length] = type;
  bytes.set(publicKey, head.length + 1);
  return hexOf(hash(bytes).subarray(0, 4));
}

/** @throws Error when the name cannot stand in a note or the key has not 32 bytes */
export function verifierKey(
  name: string,
  publicKey: Uint8Array,
  type: VerifierKey['type'] = ED25519_TYPE,
): VerifierKey {
  if (!isKeyName(name))
    throw new Error(`${JSON.stringify(name)} cannot name a key: no spaces, no +`);
  if (publicKey.length !== 32) {
    throw new Error(`an Ed25519 public key has 32 bytes, got ${publicKey.length}`);
  }
  return { name, keyId: keyIdOf(name, publicKey, type), type, publicKey };
}

export function formatVerifierKey(key: VerifierKey): string {
  const body = new Uint8Array(1 + key.publicKey.length);
  body[0] = key.type;
  body.set(key.publicKey, 1);
  return `${key.name}+${key.keyId}+${base64Of(body)}`;
}

/** @returns undefined unless the text is a well-formed key whose id fits name and key */
export function parseVerifierKey(text: string): VerifierKey | undefined {
  // The name has no +, base64 may have: split at the first two only.
  const first = text.indexOf('+');
  const second = text.indexOf('+', first + 1);
  if (first < 1 || second < 0) return undefined;
  const name = text.slice(0, first);
  const keyId = text.slice(first + 1, second);
  const body = bytesOfBase64(text.slice(second + 1));
  const type = body?.[0];
  if (!isKeyName(name) || body?.length !== 33) return undefined;
  if (type !== ED25519_TYPE && type !== COSIGNATURE_TYPE) return undefined;
  const key = verifierKey(name, body.slice(1), type);
  return key.keyId === keyId ? key : undefined;
}
