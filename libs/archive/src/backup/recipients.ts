/**
 * Who can open the sealed part of a backup: whoever knows the passphrase, and whoever holds the
 * recovery sheet. Only their public keys are needed to make one, so that a backup at night asks nobody.
 *
 * HPKE base mode (RFC 9180) with DHKEM(X25519, HKDF-SHA256), HKDF-SHA256, AES-256-GCM; the passphrase's
 * key pair is derived by argon2id (RFC 9106).
 */
import { createPublicKey, type KeyObject, randomBytes } from 'node:crypto';
import { Aes256Gcm, CipherSuite, DhkemX25519HkdfSha256, HkdfSha256 } from '@hpke/core';
import { hashRaw } from '@node-rs/argon2';
import { z } from 'zod';

const KEY_BYTES = 32;
const INFO = new TextEncoder().encode('mullion backup: key of the sealed part, v1');
/** RFC 9106 section 4, second recommended option: 64 MiB, 3 passes, 4 lanes. */
const ARGON2 = { memoryKib: 65_536, passes: 3, lanes: 4 };
export const PASSPHRASE_LENGTH_MIN = 12;

const base64 = z.base64();
const passphraseRecipient = z.strictObject({
  kind: z.literal('passphrase'),
  publicKey: base64,
  salt: base64,
  memoryKib: z.int().min(8192).max(4_194_304),
  passes: z.int().min(1).max(64),
  lanes: z.int().min(1).max(64),
});
const sheetRecipient = z.strictObject({ kind: z.literal('recovery-sheet'), publicKey: base64 });

export const recipientSchema = z.discriminatedUnion('kind', [passphraseRecipient, sheetRecipient]);
export type Recipient = z.infer<typeof recipientSchema>;
type PassphraseRecipient = z.infer<typeof passphraseRecipient>;

/** The file's key, wrapped for one recipient. */
export const wrappedKeySchema = z.strictObject({
  recipient: recipientSchema,
  /** HPKE's encapsulated key and ciphertext */
  enc: base64,
  wrapped: base64,
});
export type WrappedKey = z.infer<typeof wrappedKeySchema>;

/** What somebody brings to open a sealed part. */
export type Opener = { readonly passphrase: string } | { readonly sheetKey: KeyObject };

const suite = new CipherSuite({
  kem: new DhkemX25519HkdfSha256(),
  kdf: new HkdfSha256(),
  aead: new Aes256Gcm(),
});

/** Takes about 0.2 s and 64 MiB. */
export async function passphraseRecipientOf(passphrase: string): Promise<PassphraseRecipient> {
  const salt = randomBytes(16);
  const keys = await passphraseKeys(passphrase, salt, ARGON2);
  const publicKey = await suite.kem.serializePublicKey(keys.publicKey);
  return {
    kind: 'passphrase',
    publicKey: Buffer.from(publicKey).toString('base64'),
    salt: salt.toString('base64'),
    ...ARGON2,
  };
}

/** @param publicKey X25519, the sealing key that the archive's recovery sheet opens */
export function sheetRecipientOf(publicKey: KeyObject): Recipient {
  return { kind: 'recovery-sheet', publicKey: rawKey(publicKey, 'x').toString('base64') };
}

/** @param fileKey 32 bytes */
export async function wrapKey(fileKey: Uint8Array, recipient: Recipient): Promise<WrappedKey> {
  const recipientPublicKey = await suite.kem.deserializePublicKey(
    arrayBuffer(Buffer.from(recipient.publicKey, 'base64')),
  );
  const { enc, ct } = await suite.seal({ recipientPublicKey, info: INFO }, arrayBuffer(fileKey));
  return {
    recipient,
    enc: Buffer.from(enc).toString('base64'),
    wrapped: Buffer.from(ct).toString('base64'),
  };
}

/** @returns undefined when the opener is none of the recipients */
export async function unwrapKey(
  keys: readonly WrappedKey[],
  opener: Opener,
): Promise<Uint8Array | undefined> {
  for (const key of keys) {
    const recipientKey = await secretKeyFor(key.recipient, opener);
    if (recipientKey === undefined) continue;
    try {
      const opened = await suite.open(
        { recipientKey, enc: arrayBuffer(Buffer.from(key.enc, 'base64')), info: INFO },
        arrayBuffer(Buffer.from(key.wrapped, 'base64')),
      );
      return new Uint8Array(opened);
    } catch {
      // another passphrase or sheet
    }
  }
  return undefined;
}

async function secretKeyFor(recipient: Recipient, opener: Opener) {
  if (recipient.kind === 'passphrase') {
    if (!('passphrase' in opener)) return undefined;
    return passphraseKeys(opener.passphrase, Buffer.from(recipient.salt, 'base64'), recipient);
  }
  if (!('sheetKey' in opener)) return undefined;
  const raw = rawKey(opener.sheetKey, 'd');
  const publicKey = rawKey(createPublicKey(opener.sheetKey), 'x');
  if (publicKey.toString('base64') !== recipient.publicKey) return undefined;
  return {
    privateKey: await suite.kem.deserializePrivateKey(arrayBuffer(raw)),
    publicKey: await suite.kem.deserializePublicKey(arrayBuffer(publicKey)),
  };
}

async function passphraseKeys(
  passphrase: string,
  salt: Uint8Array,
  { memoryKib, passes, lanes }: { memoryKib: number; passes: number; lanes: number },
) {
  const seed = await hashRaw(passphrase.normalize('NFKC'), {
    // argon2id, version 0x13: what hashRaw does unasked
    salt,
    memoryCost: memoryKib,
    timeCost: passes,
    parallelism: lanes,
    outputLen: KEY_BYTES,
  });
  return suite.kem.deriveKeyPair(arrayBuffer(seed));
}

function rawKey(key: KeyObject, part: 'x' | 'd'): Buffer {
  const text = key.export({ format: 'jwk' })[part];
  if (key.asymmetricKeyType !== 'x25519' || text === undefined) {
    throw new Error(`a sealing key is X25519, this one is ${String(key.asymmetricKeyType)}`);
  }
  return Buffer.from(text, 'base64url');
}

function arrayBuffer(bytes: Uint8Array): ArrayBuffer {
  return Uint8Array.from(bytes).buffer;
}
