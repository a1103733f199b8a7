import { createPrivateKey, createPublicKey, type KeyObject, sign } from 'node:crypto';
import { fingerprintOf } from '#libs/ledger';
import { Problem } from '#libs/problem';

/** The archive's key: signs checkpoints. The secret stays behind `sign`. */
export interface ArchiveSigner {
  /** Ed25519, 32 bytes */
  readonly publicKey: Uint8Array;
  readonly fingerprint: string;
  sign(message: Uint8Array): Uint8Array;
}

/** The keys that lie within reach of this process. */
export interface KeyRing {
  /** the key of the archive, as far as this process knows */
  readonly current: ArchiveSigner;
  /** The key with this fingerprint, looked for anew where it is not the current one. */
  signerOf(fingerprint: string): ArchiveSigner | undefined;
  /** where its keys lie, for people */
  readonly place: string;
}

/** A ring with one key. */
export function ringOf(signer: ArchiveSigner): KeyRing {
  return {
    current: signer,
    signerOf: (fingerprint) => (fingerprint === signer.fingerprint ? signer : undefined),
    place: 'this process',
  };
}

/**
 * The key that goes on signing a log: the one that signed its last head.
 *
 * Asked under the lock of the head, so that a key that another process changed is never signed past.
 * @throws {Problem} `key-not-in-force`
 */
export function signerFor(
  keys: KeyRing,
  { signingKey }: { readonly signingKey: string | null },
): ArchiveSigner {
  if (signingKey === null) return keys.current;
  const signer = keys.signerOf(signingKey);
  if (signer !== undefined) return signer;
  throw new Problem(
    'key-not-in-force',
    `The archive's key is ${signingKey}; ${keys.place} holds ${keys.current.fingerprint}. Nothing was written. Put the key in force there (it is read again by itself), or see mullion admin key recover.`,
    { inForce: signingKey, held: keys.current.fingerprint },
  );
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
