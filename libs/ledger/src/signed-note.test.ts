import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { base64Of, bytesOfBase64, bytesOfHex, hexOf } from './bytes.js';
import { checkpointText, parseCheckpoint, signCheckpoint } from './checkpoint.js';
import { publicKeyOf, signEd25519, verifyEd25519 } from './ed25519.js';
import { cosignNote, type NoteSigner, openNote, parseNote, signNote } from './signed-note.js';
import {
  COSIGNATURE_TYPE,
  formatVerifierKey,
  parseVerifierKey,
  verifierKey,
} from './verifier-key.js';

// Source: RFC 8032 section 7.1 (Ed25519 tests 1 to 3), the worked example of C2SP signed-note v1, and a
// checkpoint made with other programs from the key of test 2 and the 8-leaf RFC 6962 root.
const VECTORS = JSON.parse(
  readFileSync(new URL('../../../fixtures/standards/ed25519-note.json', import.meta.url), 'utf8'),
) as {
  rfc8032: {
    name: string;
    secret: string;
    public: string;
    messageHex: string;
    signature: string;
  }[];
  signedNote: { verifierKey: string; note: string; keyId: string };
  ownCheckpoint: { secretHex: string; verifierKey: string; keyId: string; checkpoint: string };
};
const TREE = JSON.parse(
  readFileSync(new URL('../../../fixtures/standards/rfc6962.json', import.meta.url), 'utf8'),
) as { rootsBySize: string[] };

describe('Ed25519', () => {
  it.each(VECTORS.rfc8032)('signs and verifies RFC 8032 $name', (row) => {
    const [secret, key, message] = [row.secret, row.public, row.messageHex].map(
      (text) => bytesOfHex(text)!,
    );
    expect(hexOf(publicKeyOf(secret!))).toBe(row.public);
    expect(hexOf(signEd25519(message!, secret!))).toBe(row.signature);
    expect(verifyEd25519(bytesOfHex(row.signature)!, message!, key!)).toBe(true);
    expect(verifyEd25519(bytesOfHex(row.signature)!, Uint8Array.of(1), key!)).toBe(false);
  });

  // RFC 8032 section 5.1.7: S must lie below the group order; S + L is the classic second form.
  it('refuses the second form of a valid signature', () => {
    const row = VECTORS.rfc8032[1]!;
    const signature = bytesOfHex(row.signature)!;
    const order = 2n ** 252n + 27742317777372353535851937790883648493n;
    const lifted = littleEndian(signature.subarray(32)) + order;
    for (let i = 0; i < 32; i++) signature[32 + i] = Number((lifted >> BigInt(8 * i)) & 255n);
    expect(verifyEd25519(signature, bytesOfHex(row.messageHex)!, bytesOfHex(row.public)!)).toBe(
      false,
    );
  });

  it('answers false for keys and signatures that are none', () => {
    expect(verifyEd25519(new Uint8Array(64), new Uint8Array(1), new Uint8Array(31))).toBe(false);
    expect(verifyEd25519(new Uint8Array(63), new Uint8Array(1), new Uint8Array(32))).toBe(false);
    expect(
      verifyEd25519(new Uint8Array(64).fill(255), new Uint8Array(1), new Uint8Array(32).fill(255)),
    ).toBe(false);
  });
});

describe('a signed note', () => {
  const key = parseVerifierKey(VECTORS.signedNote.verifierKey)!;

  it('reads the key and opens the note of the published example', () => {
    expect(key.keyId).toBe(VECTORS.signedNote.keyId);
    expect(formatVerifierKey(key)).toBe(VECTORS.signedNote.verifierKey);
    const opened = openNote(VECTORS.signedNote.note, [key]);
    expect(opened).toMatchObject({
      text: 'This is an example message.\n',
      failed: [],
      unknown: [],
    });
    expect(opened.verified.map((one) => one.key.name)).toEqual(['example.com/foo']);
  });

  it('fails when the text was changed', () => {
    const note = VECTORS.signedNote.note.replace('example message', 'exemplar message');
    expect(openNote(note, [key])).toMatchObject({ verified: [], failed: [key] });
  });

  it('ignores a key that shares the name or the id, but not both', () => {
    const other = { ...key, name: 'example.com/bar' };
    const opened = openNote(VECTORS.signedNote.note, [other]);
    expect(opened).toMatchObject({ verified: [], failed: [], unknown: ['example.com/foo'] });
  });

  it('may have empty lines in its text', async () => {
    const note = await signNote('one\n\ntwo\n', signerOf(0, 'example.com/foo'));
    expect(parseNote(note).text).toBe('one\n\ntwo\n');
  });

  it('accepts sixteen signatures', async () => {
    const first = await signNote('text\n', signerOf(0, 'k0'));
    let note = first;
    for (let i = 1; i < 16; i++) {
      note += (await signNote('text\n', signerOf(i % 3, `k${i}`))).slice('text\n\n'.length);
    }
    const keys = Array.from({ length: 16 }, (_, i) =>
      verifierKey(`k${i}`, signerOf(i % 3, '').publicKey),
    );
    expect(openNote(note, keys).verified).toHaveLength(16);
  });

  it.each([
    ['no signature', 'text\n'],
    ['no empty line', 'text\n\u2014 k AAAAAAA=\n'],
    ['no final newline', VECTORS.signedNote.note.slice(0, -1)],
    ['a hyphen for the dash', VECTORS.signedNote.note.replace('\u2014', '-')],
    ['two spaces', VECTORS.signedNote.note.replace('\u2014 ', '\u2014  ')],
    ['a carriage return', VECTORS.signedNote.note.replace('message.', 'message.\r')],
    ['a tab', VECTORS.signedNote.note.replace('example message', 'example\tmessage')],
    ['a plus in the name', VECTORS.signedNote.note.replace('com/foo', 'com+foo')],
    ['base64 without padding', VECTORS.signedNote.note.replace('=\n', '\n')],
    ['base64 with spare bits set', VECTORS.signedNote.note.replace('aQM=', 'aQN=')],
    ['a signature of four bytes', `text\n\n\u2014 k ${base64Of(new Uint8Array(4))}\n`],
  ])('is refused with %s', (_name, note) => {
    expect(thrownBy(() => parseNote(note))).toMatchObject({ fault: 'malformed' });
  });

  it('is never made of a text that cannot be read back', async () => {
    await expect(signNote('no newline', signerOf(0, 'k'))).rejects.toMatchObject({
      fault: 'unsignable',
    });
    await expect(signNote('text\n', signerOf(0, 'two words'))).rejects.toMatchObject({
      fault: 'unsignable',
    });
  });
});

describe('a checkpoint', () => {
  const own = VECTORS.ownCheckpoint;
  const root = bytesOfHex(TREE.rootsBySize[8]!)!;

  it('is written and signed as the other programs did', async () => {
    const seed = bytesOfHex(own.secretHex)!;
    const note = await signCheckpoint(
      { origin: 'log.example/dossier', size: 8, root },
      { publicKey: publicKeyOf(seed), sign: (message) => signEd25519(message, seed) },
    );
    expect(note).toBe(own.checkpoint);
    expect(formatVerifierKey(verifierKey('log.example/dossier', publicKeyOf(seed)))).toBe(
      own.verifierKey,
    );
  });

  it('is read back', () => {
    const { text, verified } = openNote(own.checkpoint, [parseVerifierKey(own.verifierKey)!]);
    expect(verified).toHaveLength(1);
    expect(parseCheckpoint(text)).toEqual({
      origin: 'log.example/dossier',
      size: 8,
      root,
      extensions: [],
    });
  });

  it.each([
    ['an empty origin', '\n8\nXcnaeacGWamtVZy3Ad7ZoqudgjqtL0lgz+Nw7/RgQyg=\n'],
    ['a leading zero', 'o\n08\nXcnaeacGWamtVZy3Ad7ZoqudgjqtL0lgz+Nw7/RgQyg=\n'],
    ['a sign', 'o\n+8\nXcnaeacGWamtVZy3Ad7ZoqudgjqtL0lgz+Nw7/RgQyg=\n'],
    ['a size beyond 2^53', 'o\n9007199254740993\nXcnaeacGWamtVZy3Ad7ZoqudgjqtL0lgz+Nw7/RgQyg=\n'],
    ['a short root', 'o\n8\nXcnaeacGWamtVZy3Ad7ZoqudgjqtL0lgz+Nw7/Rg\n'],
    ['two lines', 'o\n8\n'],
    ['an empty extension', 'o\n8\nXcnaeacGWamtVZy3Ad7ZoqudgjqtL0lgz+Nw7/RgQyg=\n\n'],
  ])('is refused with %s', (_name, text) => {
    expect(thrownBy(() => parseCheckpoint(text))).toMatchObject({ name: 'CheckpointError' });
  });

  it('refuses to be written over no tree', () => {
    expect(() => checkpointText({ origin: 'o', size: 0.5, root })).toThrow('no size');
    expect(() => checkpointText({ origin: 'o\nx', size: 1, root })).toThrow('one line');
  });
});

describe('a cosignature', () => {
  const witness = signerOf(2, 'witness.example/w1');
  const key = verifierKey(witness.name, witness.publicKey, COSIGNATURE_TYPE);

  it('holds with its time, and fails with another', async () => {
    const note = await cosignNote(VECTORS.ownCheckpoint.checkpoint, witness, 1_679_315_147);
    expect(openNote(note, [key]).verified).toEqual([{ key, at: 1_679_315_147 }]);
    const line = note.trimEnd().split('\n').at(-1)!;
    const body = bytesOfBase64(line.split(' ')[2]!)!;
    body[11]! ^= 1;
    const moved = note.replace(line, `\u2014 ${witness.name} ${base64Of(body)}`);
    expect(openNote(moved, [key])).toMatchObject({ verified: [], failed: [key] });
  });

  // Message layout: C2SP tlog-cosignature v1, "Ed25519 signed message" (its example lines).
  it('signs header, time and the whole text of the checkpoint', async () => {
    const seen: string[] = [];
    const spy = {
      ...witness,
      sign: (message: Uint8Array) => {
        seen.push(new TextDecoder().decode(message));
        return witness.sign(message);
      },
    };
    await cosignNote(VECTORS.ownCheckpoint.checkpoint, spy, 1_679_315_147);
    const text = VECTORS.ownCheckpoint.checkpoint.split('\n\n')[0]!;
    expect(seen).toEqual([`cosignature/v1\ntime 1679315147\n${text}\n`]);
  });
});

describe('a verifier key', () => {
  it.each([
    ['another id', VECTORS.signedNote.verifierKey.replace('530d903a', '530d903b')],
    ['another name', VECTORS.signedNote.verifierKey.replace('foo', 'fop')],
    ['another type', 'k+00000000+AwAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAA='],
    ['too few bytes', 'k+00000000+AQAA'],
    ['no parts', 'k'],
  ])('is refused with %s', (_name, text) => {
    expect(parseVerifierKey(text)).toBeUndefined();
  });
});

describe('base64', () => {
  it('agrees with the platform and reads back', () => {
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 70 }), (bytes) => {
        expect(base64Of(bytes)).toBe(Buffer.from(bytes).toString('base64'));
        expect(bytesOfBase64(base64Of(bytes))).toEqual(bytes);
      }),
    );
  });
});

function signerOf(index: number, name: string): NoteSigner {
  const seed = bytesOfHex(VECTORS.rfc8032[index]!.secret)!;
  return { name, publicKey: publicKeyOf(seed), sign: (message) => signEd25519(message, seed) };
}

function littleEndian(bytes: Uint8Array): bigint {
  return bytes.reduceRight((sum, byte) => sum * 256n + BigInt(byte), 0n);
}

function thrownBy(run: () => unknown): unknown {
  try {
    run();
  } catch (error) {
    return error;
  }
  return undefined;
}
