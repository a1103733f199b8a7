/**
 * Ed25519 without a platform: verification (and signing, for tests and browsers).
 *
 * Shape: public key 32 bytes, signature 64 bytes, seed (secret) 32 bytes.
 * Source: RFC 8032 section 5.1. Verification is the strict kind (no ZIP 215 leniency), so that two
 * programs cannot disagree over a made-up signature.
 */

import * as noble from '@noble/ed25519';
import { sha512 } from '@noble/hashes/sha2.js';

noble.hashes.sha512 = (message) => sha512(message);

/** Must answer false, never throw, for keys and signatures of any length and content. */
export type VerifySignature = (
  signature: Uint8Array,
  message: Uint8Array,
  publicKey: Uint8Array,
) => boolean;

export const verifyEd25519: VerifySignature = (signature, message, publicKey) => {
  if (signature.length !== 64 || publicKey.length !== 32) return false;
  return noble.verify(signature, message, publicKey, { zip215: false });
};

export function signEd25519(message: Uint8Array, seed: Uint8Array): Uint8Array {
  return noble.sign(message, seed);
}

export function publicKeyOf(seed: Uint8Array): Uint8Array {
  return noble.getPublicKey(seed);
}
