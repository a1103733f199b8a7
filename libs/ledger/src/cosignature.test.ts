import { bytesOfBase64, hexOf } from './bytes.js';
import { signCheckpoint } from './checkpoint.js';
import { formatCosignRequest, parseCosignRequest } from './cosign-request.js';
import {
  cosignatureLine,
  judgeCosigning,
  originAsked,
  takeCosignatures,
  witnessKeyForms,
} from './cosignature.js';
import { publicKeyOf, signEd25519 } from './ed25519.js';
import { Frontier } from './frontier.js';
import { leafHash } from './hash.js';
import { parseNote } from './signed-note.js';
import { consistencyProof } from './tree.js';
import {
  COSIGNATURE_TYPE,
  formatVerifierKey,
  parseVerifierKey,
  verifierKey,
} from './verifier-key.js';

// Source: C2SP tlog-witness, "Example request body" and "Example response body", copied.
const PUBLISHED_REQUEST = `old 20852014
PlRNCrwHpqhGrupue0L7gxbjbMiKA9temvuZZDDpkaw=
jrJZDmY8Y7SyJE0MWLpLozkIVMSMZcD5kvuKxPC3swk=
5+pKlUdi2LeF/BcMHBn+Ku6yhPGNCswZZD1X/6QgPd8=
/6WVhPs2CwSsb5rYBH5cjHV/wSmA79abXAwhXw3Kj/0=

example.com/behind-the-sofa
20852163
CsUYapGGPo4dkMgIAUqom/Xajj7h2fB2MPA3j2jxq2I=

\u2014 example.com/behind-the-sofa Az3grlgtzPICa5OS8npVmf1Myq/5IZniMp+ZJurmRDeOoRDe4URYN7u5/Zhcyv2q1gGzGku9nTo+zyWE+xeMcTOAYQ8=
\u2014 example.com/behind-the-sofa opLqBQsREYCgu6xQkYQwJr9fo45a62DN9EdmHXnZdXNqlcVGlCum2Wks+49/V6267UEjw6QUXTS5Rovnzv++qbSzm9Q=
`;
const PUBLISHED_ANSWER = `\u2014 witness.example/w1 CMp+6LWBU0anHGH5aNDTJkH/gj79sG+T6+iP2ThYN5krrDJbR1HDnucjL39QsZTSvVjyQLrdk3DXDqI5G2HgLatVs0pWh6Up69HVOw==
\u2014 witness.example/w1 I7rEps0pvK2UqkS2gSpVUDhrhVtQV9lgF6pRrWAvjJHjyWpW7VcE3SiOlVlbQNt64vWhO+DlkL0+UfzuOBMh9ChdMkP1vi/lCAsmlw==
\u2014 witness.example/w2 AWui8Sk55XjYLOijihBjhqEH6nS1ndDymE0a+6idX7pLcnoB+dhnz0854aLZgrrKbYKA7nC3HNJhm/kWl7oJlqU3rXXvpysAdyP3wQ==
`;

const ORIGIN = 'mullion/5f0c2a9e-demo/site/slm';
const LOG_SEED = new Uint8Array(32).fill(7);
const LOG_KEY = verifierKey(ORIGIN, publicKeyOf(LOG_SEED));
const WITNESS_SEED = new Uint8Array(32).fill(9);
const WITNESS = {
  name: 'witness.example/w1',
  publicKey: publicKeyOf(WITNESS_SEED),
  sign: (message: Uint8Array) => signEd25519(message, WITNESS_SEED),
};
const WITNESS_KEY = verifierKey(WITNESS.name, WITNESS.publicKey, COSIGNATURE_TYPE);

describe('the published forms', () => {
  it('a request is read and written as the specification shows it', () => {
    const request = parseCosignRequest(PUBLISHED_REQUEST);
    expect(request).toMatchObject({ oldSize: 20852014 });
    expect(request.proof).toHaveLength(4);
    expect(originAsked(request)).toBe('example.com/behind-the-sofa');
    expect(formatCosignRequest(request)).toBe(PUBLISHED_REQUEST);
  });

  it('an answer is signature lines of 8 + 64 bytes after the key id', () => {
    const { signatures } = parseNote(`text\n\n${PUBLISHED_ANSWER}`);
    expect(signatures.map(({ signature }) => signature.length)).toEqual([72, 72, 72]);
    // by keys nobody knows: nothing is taken
    expect(
      takeCosignatures('text\n\n' + PUBLISHED_ANSWER, PUBLISHED_ANSWER, [WITNESS_KEY]),
    ).toEqual([]);
  });

  it.each([
    // Source: transparency-dev/formats, note/note_cosigv1_test.go: a key of a public witness, and one of type 1.
    ['remora.n621.de+da77ade7+BOvN63jn/bLvkieywe8R6UYAtVtNbZpXh34x7onlmtw2', 4],
    ['TEST+7997405c+AQcC+FTVKf0jlTdHDY3rbevmnKxxPjigCXlVtGe6RIr6', 1],
  ])('the key %s is read', (text, type) => {
    const key = parseVerifierKey(text)!;
    expect(key.type).toBe(type);
    expect(formatVerifierKey(key)).toBe(text);
  });

  it('the time stands in the first eight bytes, most significant first', async () => {
    // Source: the same file, "TestCoSigV1Timestamp": this signature states 1727964367.
    const published = bytesOfBase64(
      'ZGhGuQAAAABm/qTPeyKXD+R2rzyQsxPiP8mXum7qq/iF0u4vanlqJyocWODBt97w9uL+8qT7S5gxEHWWOworDcFiEBYJXORmnFBOBA==',
    )!;
    const line = await cosignatureLine((await madeLog('entry')).notes[3]!, WITNESS, 1727964367);
    const ours = bytesOfBase64(line.trim().split(' ')[2]!)!;
    expect(hexOf(ours.subarray(4, 12))).toBe(hexOf(published.subarray(4, 12)));
    expect(ours).toHaveLength(published.length);
  });
});

describe('what a witness decides', () => {
  const request = async (log: Log, oldSize: number, size: number) => ({
    oldSize,
    proof: oldSize === 0 || oldSize > size ? [] : await log.proof(oldSize, size),
    note: log.notes[size]!,
  });

  it('cosigns the first head, a later one that grew from it, and the same again', async () => {
    const log = await madeLog('entry');
    expect(judgeCosigning(await request(log, 0, 3), [LOG_KEY], undefined)).toMatchObject({
      ok: true,
    });
    const known = log.heads[3]!;
    expect(judgeCosigning(await request(log, 3, 9), [LOG_KEY], known)).toMatchObject({
      ok: true,
      head: { origin: ORIGIN, size: 9 },
    });
    expect(judgeCosigning(await request(log, 3, 3), [LOG_KEY], known)).toMatchObject({ ok: true });
  });

  // The statuses are those of C2SP tlog-witness.
  it('refuses with the status that the specification asks for', async () => {
    const [log, other] = [await madeLog('entry'), await madeLog('other')];
    const known = log.heads[3]!;
    const stranger = verifierKey(ORIGIN, publicKeyOf(new Uint8Array(32).fill(1)));
    const cases: [string, ReturnType<typeof judgeCosigning>, object][] = [
      [
        'unknown origin',
        judgeCosigning(await request(log, 0, 3), undefined, undefined),
        { status: 404 },
      ],
      [
        'key not trusted',
        judgeCosigning(await request(log, 0, 3), [stranger], undefined),
        { status: 403 },
      ],
      [
        'old size above',
        judgeCosigning(await request(log, 9, 3), [LOG_KEY], log.heads[9]),
        { status: 400 },
      ],
      [
        'old size behind',
        judgeCosigning(await request(log, 0, 9), [LOG_KEY], known),
        { status: 409, knownSize: 3 },
      ],
      [
        'other tree, later',
        judgeCosigning(await request(other, 3, 9), [LOG_KEY], known),
        { status: 422 },
      ],
      [
        'other tree, same size',
        judgeCosigning(await request(other, 3, 3), [LOG_KEY], known),
        { status: 409 },
      ],
      [
        'a proof from nothing',
        judgeCosigning(
          { ...(await request(log, 0, 9)), proof: await log.proof(3, 9) },
          [LOG_KEY],
          undefined,
        ),
        { status: 422 },
      ],
      [
        'no checkpoint',
        judgeCosigning({ oldSize: 0, proof: [], note: 'x' }, [LOG_KEY], undefined),
        { status: 400 },
      ],
    ];
    for (const [name, judged, wanted] of cases)
      expect([name, judged]).toEqual([name, expect.objectContaining({ ok: false, ...wanted })]);
  });

  it.each([
    ['no empty line', 'old 3\ntext\n'],
    ['a leading zero', 'old 03\n\ntext\n'],
    ['no size', 'new 3\n\ntext\n'],
    ['a short hash', 'old 3\nAAAA\n\ntext\n'],
    ['64 proof lines', `old 3\n${`${'A'.repeat(43)}=\n`.repeat(64)}\ntext\n`],
  ])('a request with %s is refused', (_name, text) => {
    expect(() => parseCosignRequest(text)).toThrow();
  });
});

describe('what a log takes', () => {
  it('is what holds, by the keys it configured', async () => {
    const log = await madeLog('entry');
    const line = await cosignatureLine(log.notes[9]!, WITNESS, 1_700_000_000);
    expect(takeCosignatures(log.notes[9]!, line, [WITNESS_KEY])).toEqual([
      { key: WITNESS_KEY, atSeconds: 1_700_000_000, line },
    ]);
    expect(takeCosignatures(log.notes[3]!, line, [WITNESS_KEY])).toEqual([]);
    const own = log.notes[9]!.slice(log.notes[9]!.indexOf('\n\n') + 2);
    expect(takeCosignatures(log.notes[9]!, own + line, [WITNESS_KEY])).toHaveLength(1);
  });

  it('a plain key stands for the cosignatures of the same holder', async () => {
    const log = await madeLog('entry');
    const line = await cosignatureLine(log.notes[9]!, WITNESS, 1_700_000_000);
    const plain = verifierKey(WITNESS.name, WITNESS.publicKey);
    expect(takeCosignatures(log.notes[9]!, line, witnessKeyForms(plain))).toHaveLength(1);
  });
});

type Log = Awaited<ReturnType<typeof madeLog>>;

async function madeLog(word: string) {
  const nodes = new Map<string, Uint8Array>();
  const frontier = new Frontier();
  const sign = () =>
    signCheckpoint(
      { origin: ORIGIN, size: frontier.size, root: frontier.root() },
      { publicKey: LOG_KEY.publicKey, sign: (message) => signEd25519(message, LOG_SEED) },
    );
  const notes = [await sign()];
  const heads = [{ size: 0, root: frontier.root() }];
  for (let i = 0; i < 9; i++) {
    frontier.append(leafHash(new TextEncoder().encode(`${word} ${i}`)), ({ level, index, hash }) =>
      nodes.set(`${level}/${index}`, hash),
    );
    notes.push(await sign());
    heads.push({ size: frontier.size, root: frontier.root() });
  }
  const reader = {
    readHashes: (ids: readonly { level: number; index: number }[]) =>
      Promise.resolve(ids.map(({ level, index }) => nodes.get(`${level}/${index}`)!)),
  };
  return {
    notes,
    heads,
    proof: (first: number, second: number) => consistencyProof(reader, first, second),
  };
}
