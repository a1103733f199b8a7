import { openBytes, openText, sealBytes, sealText } from './seal.js';

const hex = (text: string) => new Uint8Array(Buffer.from(text, 'hex'));

// McGrew and Viega, "The Galois/Counter Mode of Operation (GCM)", appendix B, test case 16: AES-256
// with 60 bytes of text, 20 bytes of associated data and a nonce of 96 bits.
const CASE_16 = {
  key: hex('feffe9928665731c6d6a8f9467308308feffe9928665731c6d6a8f9467308308'),
  nonce: hex('cafebabefacedbaddecaf888'),
  plain: hex(
    'd9313225f88406e5a55909c5aff5269a86a7a9531534f7da2e4c303d8a318a721c3c0c95956809532fcf0e2449a6b525b16aedf5aa0de657ba637b39',
  ),
  associated: hex('feedfacedeadbeeffeedfacedeadbeefabaddad2'),
  cipher:
    '522dc1f099567d07f47f37a32a84427d643a8cdcbfe5c0c97598a2bd2555d1aa8cb08e48590dbb3da7b08b1056828838c5f61e6393ba7a0abcc9f662',
  tag: '76fc6ece0f4e1768cddf8853bb2d551b',
};

it('is nonce, ciphertext and tag of AES-256-GCM', () => {
  const { key, nonce, plain, associated, cipher, tag } = CASE_16;
  const sealed = sealBytes(key, plain, associated, nonce);
  expect(Buffer.from(sealed).toString('hex')).toBe(
    Buffer.from(nonce).toString('hex') + cipher + tag,
  );
  expect(Buffer.from(openBytes(key, sealed, associated))).toEqual(Buffer.from(plain));
});

const key = CASE_16.key;
const place = { log: 'mullion/x/site/slm', subjectId: 'a', field: 'author' };

it('opens a text where it belongs', () => {
  for (const text of ['Ä', 'a "quoted" name', 'n'.repeat(200)]) {
    expect(openText(key, sealText(key, text, place), place)).toBe(text);
  }
});

it.each([
  ['another log', { ...place, log: 'mullion/x/site/oth' }],
  ['another person', { ...place, subjectId: 'b' }],
  ['another field', { ...place, field: 'takenBy' }],
])('does not open it in %s', (_, elsewhere) => {
  const sealed = sealText(key, 'a name', place);
  expect(() => openText(key, sealed, elsewhere)).toThrow();
});

it('does not open it under another key, cut short, or with one bit turned', () => {
  const sealed = sealText(key, 'a name', place);
  const other = key.map((byte) => byte ^ 1);
  expect(() => openText(other, sealed, place)).toThrow();
  expect(() => openText(key, sealed.slice(0, 20), place)).toThrow();
  const bytes = Buffer.from(sealed, 'base64url');
  for (let at = 0; at < bytes.length; at++) {
    const bent = Buffer.from(bytes);
    bent[at]! ^= 1 << (at % 8);
    expect(() => openText(key, bent.toString('base64url'), place)).toThrow();
  }
});

it('never seals a text the same twice, and short names are equally long', () => {
  expect(sealText(key, 'a name', place)).not.toBe(sealText(key, 'a name', place));
  expect(sealText(key, 'a', place)).toHaveLength(sealText(key, 'a much longer name', place).length);
});
