import fc from 'fast-check';
import { canonicalBytes } from './canonical.js';
import { signCheckpoint } from './checkpoint.js';
import { publicKeyOf, signEd25519 } from './ed25519.js';
import { ENTRY_BYTES_MAX, type Entry, entryBytes, parseEntry } from './entry.js';
import { fingerprintOf, readFingerprint, shortFingerprint } from './fingerprint.js';
import { Frontier } from './frontier.js';
import { leafHash } from './hash.js';
import { LeafList, leafListLine, parseLeafList } from './leaf-list.js';
import { originLine, parseOrigin } from './origin.js';
import { cosignNote } from './signed-note.js';
import { COSIGNATURE_TYPE, formatVerifierKey, verifierKey } from './verifier-key.js';
import { entryLines, verifyLog } from './verify-log.js';

const ORIGIN = 'mullion/5f0c2a9e-demo/site/slm';
const SEED = new Uint8Array(32).fill(7);
const FINGERPRINT = fingerprintOf(publicKeyOf(SEED));

describe('verifyLog', () => {
  it('says that a sound log is consistent, its key not known', async () => {
    const log = await madeLog(20);
    expect(verifyLog(log.entries, log.note, { key: log.key })).toMatchObject({
      result: 'consistent-key-unknown',
      faults: [],
      checkpoint: { origin: ORIGIN, size: 20 },
      keyFingerprint: FINGERPRINT,
      entries: 20,
      withheld: 0,
    });
  });

  it('verifies it against the fingerprint that the reader brings, however it was typed', async () => {
    const log = await madeLog(20);
    const fingerprint = ` ${FINGERPRINT.toLowerCase().replaceAll('-', ' ').replaceAll('0', 'o')}\n`;
    expect(verifyLog(log.entries, log.note, { key: log.key, fingerprint })).toMatchObject({
      result: 'verified-against-fingerprint',
      anchor: { kind: 'fingerprint', fingerprint: FINGERPRINT },
    });
  });

  it('verifies it against a witness that the reader trusts', async () => {
    const log = await madeLog(5);
    const seed = new Uint8Array(32).fill(9);
    const witness = {
      name: 'witness.example/w1',
      publicKey: publicKeyOf(seed),
      sign: (m: Uint8Array) => signEd25519(m, seed),
    };
    const note = await cosignNote(log.note, witness, 1_700_000_000);
    const witnessKeys = [
      formatVerifierKey(verifierKey(witness.name, witness.publicKey, COSIGNATURE_TYPE)),
    ];
    expect(verifyLog(log.entries, note, { key: log.key, witnessKeys })).toMatchObject({
      result: 'verified-against-fingerprint',
      anchor: { kind: 'witness', name: 'witness.example/w1', atSeconds: 1_700_000_000 },
    });
    expect(verifyLog(log.entries, log.note, { key: log.key, witnessKeys }).result).toBe(
      'consistent-key-unknown',
    );
  });

  it('never verifies a log that was rewritten and signed throughout with another key', async () => {
    const forged = await madeLog(20, { seed: new Uint8Array(32).fill(8) });
    expect(verifyLog(forged.entries, forged.note, { key: forged.key }).result).toBe(
      'consistent-key-unknown',
    );
    const verdict = verifyLog(forged.entries, forged.note, {
      key: forged.key,
      fingerprint: FINGERPRINT,
    });
    expect(verdict).toMatchObject({ result: 'altered', faults: [{ place: 'key' }] });
    expect(verdict.faults[0]!.reason).toContain('does not match the fingerprint');
  });

  it('never verifies a forged log that claims the true key', async () => {
    const forged = await madeLog(20, { seed: new Uint8Array(32).fill(8) });
    const { key } = await madeLog(20);
    const verdict = verifyLog(forged.entries, forged.note, { key, fingerprint: FINGERPRINT });
    expect(verdict).toMatchObject({ result: 'altered', faults: [{ place: 'checkpoint' }] });
  });

  it('names the entry in which one bit was flipped', async () => {
    const log = await madeLog(23);
    fc.assert(
      fc.property(fc.nat(22), fc.nat(), fc.nat(7), (seq, at, bit) => {
        const entries = log.entries.map((bytes) => bytes.slice());
        entries[seq]![at % entries[seq]!.length]! ^= 1 << bit;
        const verdict = verifyLog(entries, log.note, { key: log.key, leaves: log.leaves });
        expect(verdict.result).toBe('altered');
        expect(verdict.faults[0]!.reason).toContain(`entry ${seq} `);
        expect(verifyLog(entries, log.note, { key: log.key }).result).toBe('altered');
      }),
    );
  });

  it('finds a bit flipped anywhere in the checkpoint or the key', async () => {
    const log = await madeLog(6);
    const encoder = new TextEncoder();
    fc.assert(
      fc.property(fc.constantFrom('note', 'key'), fc.nat(), fc.nat(7), (which, at, bit) => {
        const bytes = encoder.encode(log[which]);
        bytes[at % bytes.length]! ^= 1 << bit;
        const changed = { ...log, [which]: new TextDecoder().decode(bytes) };
        const verdict = verifyLog(log.entries, changed.note, {
          key: changed.key,
          fingerprint: FINGERPRINT,
        });
        expect(verdict.result).toBe('altered');
        expect(['checkpoint', 'key']).toContain(verdict.faults[0]!.place);
      }),
      { numRuns: 300 },
    );
  });

  it('names a removed, an added, a doubled and a moved entry', async () => {
    const { entries, note, key, leaves } = await madeLog(10);
    const reasons = (list: Uint8Array[]) =>
      verifyLog(list, note, { key, leaves }).faults.map((fault) => fault.reason);
    expect(reasons(entries.filter((_, seq) => seq !== 4))).toEqual(['entry 4 is missing']);
    expect(reasons(entries.slice(0, 8))).toEqual(['entry 8 is missing', 'entry 9 is missing']);
    expect(reasons([...entries, entryBytes(entryOf(10))])).toEqual([
      'line 11 is an entry too many: the log ends before it',
    ]);
    expect(reasons([...entries.slice(0, 3), entries[2]!, ...entries.slice(3)])[0]).toContain(
      'says it is entry 2',
    );
    expect(
      verifyLog([entries[1]!, entries[0]!, ...entries.slice(2)], note, { key, leaves }).result,
    ).toBe('altered');
  });

  it('names the same without a list of leaves', async () => {
    const { entries, note, key } = await madeLog(10);
    const first = (list: Uint8Array[]) => verifyLog(list, note, { key }).faults[0]!.reason;
    expect(first(entries.filter((_, seq) => seq !== 4))).toContain(
      'entry 5 stands where entry 4 belongs',
    );
    expect(first(entries.slice(0, 8))).toBe('entries 8 to 9 are missing: the checkpoint covers 10');
    expect(first([...entries, entryBytes(entryOf(10))])).toContain('entries from 10 on were added');
  });

  it('binds withheld entries by their leaf hashes', async () => {
    const { entries, note, key } = await madeLog(10);
    const listed = (hashOf: (seq: number) => Uint8Array) => {
      const lines = entries.map((_, seq) => leafListLine(hashOf(seq), seq % 3 === 0));
      return parseLeafList(lines.join(''));
    };
    const given = entries.filter((_, seq) => seq % 3 !== 0);
    const leaves = listed((seq) => leafHash(entries[seq]!));
    expect(verifyLog(given, note, { key, leaves })).toMatchObject({
      result: 'consistent-key-unknown',
      entries: 6,
      withheld: 4,
    });
    const changed = listed((seq) => leafHash(seq === 6 ? new Uint8Array(1) : entries[seq]!));
    expect(verifyLog(given, note, { key, leaves: changed })).toMatchObject({
      result: 'altered',
      faults: [{ place: 'leaf-list' }],
    });
  });

  it('refuses an entry of another log even when it was signed in', async () => {
    const { entries, note, key, leaves } = await madeLog(3, {
      stray: { log: 'mullion/5f0c2a9e-demo/studio' },
    });
    expect(verifyLog(entries, note, { key, leaves }).faults).toEqual([
      expect.objectContaining({ place: 'entry', seq: 1 }),
    ]);
  });

  it("takes the log's own verifier key for what its fingerprint says", async () => {
    const { entries, note, key } = await madeLog(3);
    expect(verifyLog(entries, note, { key, witnessKeys: [key] })).toMatchObject({
      result: 'verified-against-fingerprint',
      anchor: { kind: 'fingerprint', fingerprint: FINGERPRINT },
    });
  });

  it('blames the reader, not the log, for a mistyped fingerprint', async () => {
    const { entries, note, key } = await madeLog(3);
    const last = FINGERPRINT.endsWith('A') ? 'B' : 'A';
    const mistyped = FINGERPRINT.slice(0, -1) + last;
    expect(() => verifyLog(entries, note, { key, fingerprint: mistyped })).toThrow('mistyped');
    expect(() =>
      verifyLog(entries, note, { key, fingerprint: shortFingerprint(FINGERPRINT) }),
    ).toThrow('short form');
    expect(() => verifyLog(entries, note, { key, witnessKeys: ['x'] })).toThrow('witness');
  });

  it('accepts the empty log', async () => {
    const { note, key } = await madeLog(0);
    expect(verifyLog([], note, { key, fingerprint: FINGERPRINT }).result).toBe(
      'verified-against-fingerprint',
    );
  });
});

describe('an entry', () => {
  it('reads back as it was written', () => {
    const entry = entryOf(3);
    expect(parseEntry(entryBytes(entry))).toEqual(entry);
  });

  it.each<[string, Partial<Record<keyof Entry | 'extra', unknown>>, string]>([
    ['a later version', { v: 2 }, 'version 1'],
    ['an unknown member', { extra: 1 }, 'extra'],
    ['a fractional place', { seq: 0.5 }, 'seq'],
    ['a type without a dot', { type: 'finding' }, 'finding.record'],
    ['a local time', { recordedAt: '2026-11-25T08:30:00.000+01:00' }, 'UTC'],
    ['no milliseconds', { recordedAt: '2026-11-25T08:30:00Z' }, 'milliseconds'],
    [
      'an upper-case digest',
      { objects: [{ digest: `sha256:${'A'.repeat(64)}`, role: 'net' }] },
      'objects[0].digest',
    ],
    ['a reference without its leaf', { refs: [{ origin: ORIGIN, index: 1 }] }, 'refs[0]'],
    ['a correction of the future', { supersedes: { seq: 3 } }, 'supersede'],
    ['an empty subject', { subject: '' }, 'subject'],
  ])('is refused with %s', (_name, over, words) => {
    const entry = { ...entryOf(3), ...over } as Entry;
    expect(thrownBy(() => entryBytes(entry))).toMatchObject({ fault: 'shape' });
    expect(() => entryBytes(entry)).toThrow(words);
    expect(() => parseEntry(canonicalBytes(entry))).toThrow(words);
  });

  it('holds 16 kB and not a byte more', () => {
    const room = ENTRY_BYTES_MAX - entryBytes(entryOf(0, { note: '' })).length;
    expect(entryBytes(entryOf(0, { note: 'x'.repeat(room) }))).toHaveLength(ENTRY_BYTES_MAX);
    expect(() => entryBytes(entryOf(0, { note: 'x'.repeat(room + 1) }))).toThrow('name its digest');
  });
});

describe('a fingerprint', () => {
  it('has seven groups of four without look-alikes and a short form', () => {
    expect(FINGERPRINT).toMatch(/^([0-9A-HJKMNP-TV-Z]{4}-){6}[0-9A-HJKMNP-TV-Z]{4}$/);
    expect(FINGERPRINT.startsWith(`${shortFingerprint(FINGERPRINT)}-`)).toBe(true);
  });

  it('tells keys apart and reads back', () => {
    fc.assert(
      fc.property(fc.uint8Array({ minLength: 32, maxLength: 32 }), fc.nat(255), (key, bit) => {
        const other = key.slice();
        other[bit >> 3]! ^= 1 << (bit & 7);
        expect(fingerprintOf(other)).not.toBe(fingerprintOf(key));
        expect(readFingerprint(fingerprintOf(key))).toEqual({
          ok: true,
          fingerprint: fingerprintOf(key),
        });
      }),
    );
  });

  it('notices almost every single mistyped letter', () => {
    const letters = '0123456789ABCDEFGHJKMNPQRSTVWXYZ';
    let passed = 0;
    let tried = 0;
    for (let at = 0; at < FINGERPRINT.length; at++) {
      if (FINGERPRINT[at] === '-') continue;
      for (const letter of letters) {
        if (letter === FINGERPRINT[at]) continue;
        tried += 1;
        if (readFingerprint(FINGERPRINT.slice(0, at) + letter + FINGERPRINT.slice(at + 1)).ok)
          passed += 1;
      }
    }
    // One in 1,024 is expected to pass; of 868 that is 0.85, and 6 or more once in 3,000 such keys.
    expect(tried).toBe(868);
    expect(passed).toBeLessThan(6);
  });
});

describe('an origin line', () => {
  it.each([
    [
      { archiveId: '5f0c2a9e-demo', log: 'studio' as const, epoch: 1 },
      'mullion/5f0c2a9e-demo/studio',
    ],
    [
      { archiveId: '5f0c2a9e-demo', log: { site: 'slm_ch' }, epoch: 3 },
      'mullion/5f0c2a9e-demo/site/slm_ch/epoch/3',
    ],
  ])('is written and read: %j', (origin, line) => {
    expect(originLine(origin)).toBe(line);
    expect(parseOrigin(line)).toEqual(origin);
  });

  it.each([
    'mullion/short/studio',
    'mullion/5f0c2a9e-demo/site/SLM',
    'mullion/5f0c2a9e-demo/studio/epoch/1',
    'else',
  ])('is refused: %s', (line) => {
    expect(parseOrigin(line)).toBeUndefined();
  });

  it('refuses parts that would make another line', () => {
    expect(() => originLine({ archiveId: '5f0c2a9e-demo', log: { site: 'a/epoch/2' } })).toThrow(
      'no origin line',
    );
  });
});

describe('a list of leaves', () => {
  it.each([
    ['a cut line', `${'ab'.repeat(31)}\n`],
    ['another word', `${'ab'.repeat(32)} hidden\n`],
    ['no final newline', 'ab'.repeat(32)],
    ['upper case', `${'AB'.repeat(32)}\n`],
  ])('is refused with %s', (_name, text) => {
    expect(() => parseLeafList(text)).toThrow('line');
  });
});

describe('entryLines', () => {
  it('cuts a file at its line feeds and keeps a cut last line', () => {
    const lines = [...entryLines(new TextEncoder().encode('a\n\nbc'))].map((line) =>
      new TextDecoder().decode(line),
    );
    expect(lines).toEqual(['a', '', 'bc']);
  });
});

function entryOf(seq: number, payload: Entry['payload'] = { note: `crack, ${seq} mm` }): Entry {
  return {
    v: 1,
    log: ORIGIN,
    seq,
    type: 'finding.record',
    subject: 'SLM.wI.2b.17',
    actorId: '0190a0c4-0000-7000-8000-000000000001',
    happened: '2026-11-24',
    recordedAt: '2026-11-25T08:30:00.000Z',
    payload,
    objects: [{ digest: `sha256:${'ab'.repeat(32)}`, role: 'evidence' }],
    supersedes: null,
    refs: [],
  };
}

async function madeLog(size: number, { seed = SEED, stray = {} } = {}) {
  const frontier = new Frontier();
  const entries: Uint8Array[] = [];
  for (let seq = 0; seq < size; seq++) {
    const bytes = entryBytes({ ...entryOf(seq), ...(seq === 1 ? stray : {}) });
    entries.push(bytes);
    frontier.append(leafHash(bytes));
  }
  const publicKey = publicKeyOf(seed);
  const note = await signCheckpoint(
    { origin: ORIGIN, size, root: frontier.root() },
    { publicKey, sign: (message) => signEd25519(message, seed) },
  );
  const leaves = new LeafList();
  for (const bytes of entries) leaves.push(leafHash(bytes));
  return { entries, note, leaves, key: formatVerifierKey(verifierKey(ORIGIN, publicKey)) };
}

function thrownBy(run: () => unknown): unknown {
  try {
    run();
  } catch (error) {
    return error;
  }
  return undefined;
}
