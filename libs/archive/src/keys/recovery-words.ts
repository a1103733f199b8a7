/**
 * The secret of the recovery sheet: 24 words, from which the archive's next key and the key that
 * backups are sealed to are made.
 *
 * Words: BIP-39, English list, 256 bits with their check sum. Keys: HKDF with SHA-256 (RFC 5869) over
 * the 32 bytes of the words, no salt, one line of info each, so that neither tells of the other.
 */
import {
  createPrivateKey,
  createPublicKey,
  hkdfSync,
  type KeyObject,
  randomBytes,
} from 'node:crypto';
import { entropyToMnemonic, mnemonicToEntropy } from '@scure/bip39';
import { wordlist } from '@scure/bip39/wordlists/english.js';

export const RECOVERY_WORDS = 24;

const ENTROPY_BYTES = 32;
const SIGNING_INFO = 'mullion recovery signing key v1';
const SEALING_INFO = 'mullion recovery sealing key v1';

// RFC 8410 section 7: PKCS #8 of a bare 32-byte secret; the last byte of the identifier tells the curve
const PKCS8_ED25519 = Buffer.from('302e020100300506032b657004220420', 'hex');
const PKCS8_X25519 = Buffer.from('302e020100300506032b656e04220420', 'hex');

/** What is wrong with words that a person typed; the message says which and what to do. */
export class RecoveryWordsError extends Error {
  override readonly name = 'RecoveryWordsError';
}

export interface RecoveryKeys {
  /** Ed25519, private: the successor of the archive's key */
  readonly signing: KeyObject;
  /** X25519, private: opens what was sealed for the holder of the sheet */
  readonly sealing: KeyObject;
}

/** New words, by chance. */
export function newRecoveryWords(): string[] {
  return entropyToMnemonic(randomBytes(ENTROPY_BYTES), wordlist).split(' ');
}

/**
 * The words as they stand on the sheet, whatever a person typed: numbers, commas and capitals do not
 * matter, and the first four letters of a word are enough (no two words of the list share them).
 *
 * @throws RecoveryWordsError naming the word that is no word of the list, a wrong count, or that the
 * check sum does not fit
 */
export function readRecoveryWords(typed: string): string[] {
  const given = typed
    .normalize('NFKC')
    .toLowerCase()
    .split(/[^a-z]+/)
    .filter((word) => word !== '');
  const words = given.map((word, at) => {
    if (wordlist.includes(word)) return word;
    const meant = word.length < 4 ? [] : wordlist.filter((one) => one.slice(0, 4) === word);
    if (meant.length === 1) return meant[0]!;
    const near = wordlist.filter((one) => one.startsWith(word.slice(0, 3))).slice(0, 4);
    throw new RecoveryWordsError(
      `Word ${at + 1}, "${word}", is not on the list that the sheet's words come from.${near.length > 0 ? ` Could it be ${near.join(', ')}?` : ''}`,
    );
  });
  if (words.length !== RECOVERY_WORDS) {
    throw new RecoveryWordsError(
      `The sheet has ${RECOVERY_WORDS} words, these are ${words.length}. Type them in their order, row by row of their numbers.`,
    );
  }
  entropyOf(words);
  return words;
}

/**
 * The keys of a recovery sheet.
 * @param words as on the sheet, in their order
 * @throws RecoveryWordsError for words that are none of a sheet
 */
export function recoveryKeysFromWords(words: readonly string[]): RecoveryKeys {
  const entropy = entropyOf(readRecoveryWords(words.join(' ')));
  return {
    signing: privateKey(PKCS8_ED25519, entropy, SIGNING_INFO),
    sealing: privateKey(PKCS8_X25519, entropy, SEALING_INFO),
  };
}

/** The 32 bytes of an Ed25519 or X25519 public key, of either half (RFC 8037 `x`). */
export function publicBytesOf(key: KeyObject): Uint8Array {
  const { x } = (key.type === 'private' ? createPublicKey(key) : key).export({ format: 'jwk' });
  return new Uint8Array(Buffer.from(x!, 'base64url'));
}

function entropyOf(words: readonly string[]): Uint8Array {
  try {
    return mnemonicToEntropy(words.join(' '), wordlist);
  } catch (cause) {
    throw new RecoveryWordsError(
      'These are words of the list, but not 24 that belong together: one of them is another, or two changed places. Compare them with the sheet.',
      { cause },
    );
  }
}

function privateKey(head: Buffer, entropy: Uint8Array, info: string): KeyObject {
  const secret = Buffer.from(hkdfSync('sha256', entropy, '', info, 32));
  return createPrivateKey({ key: Buffer.concat([head, secret]), format: 'der', type: 'pkcs8' });
}
