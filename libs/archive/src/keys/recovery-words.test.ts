import {
  createHmac,
  createPublicKey,
  diffieHellman,
  generateKeyPairSync,
  sign,
  verify,
} from 'node:crypto';
import { mnemonicToEntropy } from '@scure/bip39';
import { wordlist } from '@scure/bip39/wordlists/english.js';
import {
  newRecoveryWords,
  publicBytesOf,
  RecoveryWordsError,
  readRecoveryWords,
  recoveryKeysFromWords,
} from './recovery-words.js';

/**
 * Entropy and words. Source: BIP-39, "Test vectors" (vectors.json of the reference implementation,
 * English, 256 bits); the passphrase of those vectors concerns a seed that is not used here.
 */
const VECTORS = [
  ['00'.repeat(32), `${'abandon '.repeat(23)}art`],
  [
    '7f'.repeat(32),
    `${'legal winner thank year wave sausage worth useful '.repeat(2)}legal winner thank year wave sausage worth title`,
  ],
  [
    '80'.repeat(32),
    `${'letter advice cage absurd amount doctor acoustic avoid '.repeat(2)}letter advice cage absurd amount doctor acoustic bless`,
  ],
  ['ff'.repeat(32), `${'zoo '.repeat(23)}vote`],
  [
    '68a79eaca2324873eacc50cb9c6eca8cc68ea5d936f98787c60c7ebc74e6ce7c',
    'hamster diagram private dutch cause delay private meat slide toddler razor book happy fancy gospel tennis maple dilemma loan word shrug inflict delay length',
  ],
] as const;

/** HKDF by its definition (RFC 5869 section 2), one block, so that Node's own is not its own judge. */
function hkdfByHand(ikm: Buffer, info: string): Buffer {
  const prk = createHmac('sha256', Buffer.alloc(32)).update(ikm).digest();
  return createHmac('sha256', prk)
    .update(Buffer.concat([Buffer.from(info), Buffer.from([1])]))
    .digest();
}

describe('recovery words', () => {
  it.each(VECTORS)('%s are the words of BIP-39', (entropyHex, words) => {
    const read = readRecoveryWords(words);
    expect(read).toEqual(words.split(' '));
    expect(Buffer.from(mnemonicToEntropy(read.join(' '), wordlist)).toString('hex')).toBe(
      entropyHex,
    );
  });

  it.each(VECTORS)('%s give two keys by RFC 5869, usable and apart', (entropyHex, words) => {
    const { signing, sealing } = recoveryKeysFromWords(words.split(' '));
    const ikm = Buffer.from(entropyHex, 'hex');
    const secretOf = (key: typeof signing) => key.export({ format: 'jwk' }).d;
    expect(secretOf(signing)).toBe(
      hkdfByHand(ikm, 'mullion recovery signing key v1').toString('base64url'),
    );
    expect(secretOf(sealing)).toBe(
      hkdfByHand(ikm, 'mullion recovery sealing key v1').toString('base64url'),
    );
    const message = Buffer.from('of the archive');
    expect(verify(null, message, createPublicKey(signing), sign(null, message, signing))).toBe(
      true,
    );
    const other = generateKeyPairSync('x25519');
    expect(diffieHellman({ privateKey: sealing, publicKey: other.publicKey })).toEqual(
      diffieHellman({ privateKey: other.privateKey, publicKey: createPublicKey(sealing) }),
    );
    expect(publicBytesOf(signing)).toHaveLength(32);
  });

  it('are read however they are typed', () => {
    const [, words] = VECTORS[4];
    const list = words.split(' ');
    const numbered = list.map((word, i) => `${i + 1}. ${word.toUpperCase()}`).join('\n');
    const short = list.map((word) => word.slice(0, 4)).join(', ');
    for (const typed of [numbered, short, ` ${words}\r\n`])
      expect(readRecoveryWords(typed)).toEqual(list);
  });

  it.each([
    [
      'a word that is not on the list',
      VECTORS[4][1].replace('private', 'privite'),
      /Word 3, "privite"/,
    ],
    ['too few', 'zoo zoo zoo', /24 words, these are 3/],
    [
      'two that changed places',
      VECTORS[4][1].replace('hamster diagram', 'diagram hamster'),
      /two changed places/,
    ],
    ['nothing', '', /these are 0/],
  ])('are refused with %s, and said why', (_, typed, why) => {
    expect(() => readRecoveryWords(typed)).toThrow(RecoveryWordsError);
    expect(() => readRecoveryWords(typed)).toThrow(why);
  });

  it('are new each time', () => {
    const all = Array.from({ length: 20 }, () => newRecoveryWords());
    expect(new Set(all.map((words) => words.join(' '))).size).toBe(20);
    for (const words of all) expect(readRecoveryWords(words.join(' '))).toEqual(words);
  });
});
