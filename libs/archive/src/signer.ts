import { createPrivateKey, createPublicKey, type KeyObject, sign } from 'node:crypto';
import { fingerprintOf } from '#libs/ledger';

/** The archive's key: signs checkpoints. The secret stays behind `sign`. */
export interface ArchiveSigner {
  /** Ed25519, 32 bytes */
  readonly publicKey: Uint8Array;
  readonly fingerprint: string;
  sign(message: Uint8Array): Uint8Array;
}

/** @param pem Ed25519 private key, PKCS #8 */
export function signerFromPem(pem: string | Buffer): ArchiveSigner {
  return signerFromKey(createPrivateKey(pem));
}

export function signerFromKey(key: KeyObject): ArchiveSigner {
  if (key.asymmetricKeyType !== 'ed25519') {
    throw new Error(`the archive key is ${String(key.asymmetricKeyType)}; expected ed25519`);
  }
  const { x } = createPublicKey(key).export({ format: 'jwk' });
  const publicKey = new Uint8Array(Buffer.from(x!, 'base64url'));
  return {
    publicKey,
    fingerprint: fingerprintOf(publicKey),
    sign: (message) => new Uint8Array(sign(null, message, key)),
  };
}
