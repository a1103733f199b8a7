import { createPublicKey, type KeyObject, verify } from 'node:crypto';
import type { VerifySignature } from '#libs/ledger';

const KEYS_MAX = 64;
const keys = new Map<string, KeyObject | undefined>();

/** Ed25519 by Node's own library, some twenty times as fast as the pure one (RFC 8032). */
export const nativeVerify: VerifySignature = (signature, message, publicKey) => {
  if (signature.length !== 64 || publicKey.length !== 32) return false;
  const key = keyOf(publicKey);
  return key !== undefined && verify(null, message, key, signature);
};

function keyOf(publicKey: Uint8Array): KeyObject | undefined {
  const x = Buffer.from(publicKey).toString('base64url');
  if (keys.has(x)) return keys.get(x);
  if (keys.size >= KEYS_MAX) keys.clear();
  let key: KeyObject | undefined;
  try {
    key = createPublicKey({ key: { kty: 'OKP', crv: 'Ed25519', x }, format: 'jwk' });
  } catch {
    key = undefined; // no point of the curve: no signature by it can hold
  }
  keys.set(x, key);
  return key;
}
