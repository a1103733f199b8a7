import fc from 'fast-check';
import type { JsonValue } from './canonical.js';
import { signCheckpoint } from './checkpoint.js';
import { publicKeyOf, signEd25519 } from './ed25519.js';
import { entryBytes } from './entry.js';
import { fingerprintOf } from './fingerprint.js';
import { Frontier } from './frontier.js';
import { leafHash } from './hash.js';
import { carriedEntries, KeyHistory, keyChangeSentence } from './key-history.js';
import {
  announcedKey,
  announcementText,
  type CarriedEntry,
  changedKey,
  changeText,
  type SignedBy,
} from './key-statement.js';
import { formatVerifierKey, verifierKey } from './verifier-key.js';
import { type LogVerdict, verifyLog } from './verify-log.js';

const ORIGIN = 'mullion/5f0c2a9e-demo/site/slm';
const STUDIO = 'mullion/5f0c2a9e-demo/studio';
const SEALING = new Uint8Array(32).fill(3);

/** Keys by a number: the secret is that byte 32 times, so that nobody takes one for a real key. */
const seedOf = (key: number) => new Uint8Array(32).fill(key);
const publicOf = (key: number) => publicKeyOf(seedOf(key));
const printOf = (key: number) => fingerprintOf(publicOf(key));
const signerOf = (key: number) => ({
  publicKey: publicOf(key),
  sign: (message: Uint8Array) => signEd25519(message, seedOf(key)),
});

/** A log that is written as an archive writes it, or not quite. */
class Written {
  readonly entries: Uint8Array[] = [];
  readonly said: CarriedEntry[] = [];

  constructor(readonly origin = ORIGIN) {}

  get place() {
    return { origin: this.origin, seq: this.entries.length };
  }

  put(type: string, payload: object): this {
    const seq = this.entries.length;
    const json = JSON.parse(JSON.stringify(payload)) as JsonValue;
    this.said.push({ origin: this.origin, seq, type, payload: json });
    this.entries.push(
      entryBytes({
        v: 1,
        log: this.origin,
        seq,
        type,
        subject: null,
        actorId: 'a1',
        happened: null,
        recordedAt: '2026-11-25T08:30:00.000Z',
        payload: json,
        objects: [],
        supersedes: null,
        refs: [],
      }),
    );
    return this;
  }

  work(count = 2): this {
    for (let i = 0; i < count; i++) this.put('finding.record', { note: `crack ${i}` });
    return this;
  }

  announce(successor: number, by: number, earlier: readonly CarriedEntry[] = []): this {
    const said = { successor: publicOf(successor), sealing: SEALING, earlier };
    return this.put('key.announce', announcedKey(this.place, signerOf(by), said));
  }

  change(from: number | null, to: number, signedBy: SignedBy, signer?: number): this {
    const by = signer ?? (signedBy === 'old' ? from! : to);
    const before = from === null ? null : publicOf(from);
    const said = changedKey(this.place, before, publicOf(to), signedBy, signerOf(by));
    return this.put('key.change', said);
  }

  async check(signer: number, fingerprint?: string): Promise<LogVerdict> {
    const frontier = new Frontier();
    for (const bytes of this.entries) frontier.append(leafHash(bytes));
    const head = { origin: this.origin, size: frontier.size, root: frontier.root() };
    return verifyLog(this.entries, await signCheckpoint(head, signerOf(signer)), {
      key: formatVerifierKey(verifierKey(this.origin, publicOf(signer))),
      ...(fingerprint !== undefined && { fingerprint }),
    });
  }
}

describe('what is signed', () => {
  // The form of key-statement.ts, written out by hand.
  it('names log, entry and keys, and cannot be a checkpoint', () => {
    const key = formatVerifierKey(verifierKey(STUDIO, publicOf(1)));
    const place = { origin: STUDIO, seq: 41 };
    expect(announcementText(place, { key, successor: key, sealing: 'AAAA' })).toBe(
      `mullion key announcement v1\n${STUDIO}\nentry 41\nkey ${key}\nsuccessor ${key}\nsealing AAAA\n`,
    );
    expect(changeText(place, { from: printOf(1), to: key, signedBy: 'old' })).toBe(
      `mullion key change v1\n${STUDIO}\nentry 41\nfrom ${printOf(1)}\nto ${key}\nby old\n`,
    );
    expect(changeText(place, { from: null, to: key, signedBy: 'none' })).toContain(
      'from unknown\n',
    );
  });
});

describe('a log whose key was changed', () => {
  const rotated = () => new Written().announce(90, 1).work().change(1, 2, 'old').announce(90, 2);

  it('is verified against the key before it and the key that follows', async () => {
    for (const key of [1, 2]) {
      const verdict = await rotated().work().check(2, printOf(key));
      expect(verdict).toMatchObject({
        result: 'verified-against-fingerprint',
        anchor: { kind: 'fingerprint', fingerprint: printOf(key) },
        notices: ['the key was changed at entry 3, signed by the key before it'],
      });
    }
  });

  it('after three changes is verified against the first, the second and the last key', async () => {
    const log = rotated().work().change(2, 90, 'successor').announce(91, 90).work();
    log.change(90, 4, 'old').announce(91, 4).work();
    for (const key of [1, 2, 90, 4]) {
      const verdict = await log.check(4, printOf(key));
      expect(verdict).toMatchObject({ result: 'verified-against-fingerprint', faults: [] });
      expect(verdict.notices[1]).toBe(
        'changed without the old key at entry 7, by the key announced at entry 4',
      );
    }
    expect((await log.check(4, printOf(91))).result).toBe('altered');
    expect((await log.check(4)).result).toBe('consistent-key-unknown');
  });

  it('says which key signs the checkpoint of each size', () => {
    const log = rotated().work();
    const history = new KeyHistory(ORIGIN);
    for (const entry of log.said) expect(history.add(entry)).toBeUndefined();
    // a checkpoint over three entries does not hold the change at entry 3, one over four does
    expect(history.keyFor(3)).toEqual(publicOf(1));
    expect(history.keyFor(4)).toEqual(publicOf(2));
    expect(history.announced).toMatchObject({ publicKey: publicOf(90), sealing: SEALING, seq: 4 });
  });

  it('by the announced successor says so, whatever the reader brings', async () => {
    const log = new Written().announce(90, 1).work().change(1, 90, 'successor').announce(91, 90);
    for (const fingerprint of [undefined, printOf(1), printOf(90)]) {
      const verdict = await log.check(90, fingerprint);
      expect(verdict.result).toBe(
        fingerprint === undefined ? 'consistent-key-unknown' : 'verified-against-fingerprint',
      );
      expect(verdict.notices).toEqual([
        'changed without the old key at entry 3, by the key announced at entry 0',
      ]);
      expect(verdict.keyChanges).toMatchObject([{ seq: 3, signedBy: 'successor', announcedAt: 0 }]);
    }
  });

  it('by neither is never verified against the key before it', async () => {
    const log = new Written().announce(90, 1).work().change(1, 7, 'none').announce(91, 7).work();
    const old = await log.check(7, printOf(1));
    expect(old).toMatchObject({ result: 'consistent-key-unknown', faults: [] });
    expect(old.anchor).toBeUndefined();
    expect(old.notices[0]).toMatch(
      /^changed without the old key at entry 3, and not by an announced/,
    );
    expect((await log.check(7, printOf(7))).result).toBe('verified-against-fingerprint');
    expect((await log.check(7, printOf(90))).result).toBe('altered');
  });

  it('must be signed by the key that it names', async () => {
    const verdict = await rotated().work().check(1, printOf(1));
    expect(verdict).toMatchObject({ result: 'altered', faults: [{ place: 'key' }] });
    expect(verdict.faults[0]!.reason).toContain(printOf(2));
  });
});

describe('a forger without the old key', () => {
  it.each<[string, (log: Written) => Written]>([
    ['signs throughout anew', (log) => log.announce(66, 6).work()],
    ['announces a successor under a key of their own', (log) => log.announce(1, 6).work()],
    [
      'hands the log on in the old key’s name',
      (log) => log.announce(90, 1).work().change(1, 6, 'old', 6),
    ],
    [
      'announces a successor in the old key’s place and follows it',
      (log) => log.announce(90, 1).announce(6, 6).work().change(1, 6, 'successor'),
    ],
    ['follows without any announcement', (log) => log.work().change(1, 6, 'successor')],
    [
      'uses an announcement that lapsed with its key',
      (log) => log.announce(6, 1).change(1, 2, 'old').work().change(2, 6, 'successor'),
    ],
    [
      'uses a successor that was replaced by a later announcement',
      (log) => log.announce(6, 1).announce(90, 1).work().change(1, 6, 'successor'),
    ],
    ['calls the loss their own', (log) => log.announce(90, 1).work().change(1, 6, 'none')],
    ['names no key before', (log) => log.work().change(null, 6, 'none')],
  ])('%s: never verified', async (_, forge) => {
    const verdict = await forge(new Written()).check(6, printOf(1));
    expect(verdict.result).not.toBe('verified-against-fingerprint');
    expect(verdict.anchor).toBeUndefined();
  });

  it('cannot move a genuine change or announcement to another place or log', async () => {
    const genuine = new Written().announce(90, 1).work().change(1, 2, 'old');
    const [announcement, , , change] = genuine.said;
    const moved = new Written()
      .announce(90, 1)
      .work(3)
      .put('key.change', change!.payload as object);
    expect((await moved.check(2, printOf(1))).faults[0]).toMatchObject({ place: 'entry', seq: 4 });
    const late = new Written().work(1).put('key.announce', announcement!.payload as object);
    expect((await late.check(1, printOf(1))).notices[0]).toContain('counts for nothing');
    const other = new Written('mullion/5f0c2a9e-demo/site/oth').announce(90, 1).work();
    other.put('key.change', change!.payload as object);
    expect((await other.check(2, printOf(1))).result).toBe('altered');
  });

  it('gains nothing by a bit changed in any statement', async () => {
    const log = new Written().announce(90, 1).work(1).change(1, 90, 'successor');
    await fc.assert(
      fc.asyncProperty(fc.constantFrom(0, 2), fc.nat(), fc.nat(6), async (seq, at, bit) => {
        const forged = new Written();
        for (const { type, payload } of log.said) {
          let text = JSON.stringify(payload);
          if (forged.entries.length === seq) {
            const i = at % text.length;
            const changed = String.fromCharCode(text.charCodeAt(i) ^ (1 << bit));
            text = text.slice(0, i) + changed + text.slice(i + 1);
          }
          let read: unknown;
          try {
            read = JSON.parse(text);
          } catch {
            return; // no JSON any more: no entry can hold it
          }
          if (typeof read !== 'object' || read === null) return;
          forged.put(type, read);
        }
        const verdict = await forged.check(90, printOf(1));
        expect(verdict.result).toBe('altered');
      }),
      { numRuns: 200 },
    );
  });
});

describe('a log begun after the key was changed', () => {
  const studio = () =>
    new Written(STUDIO)
      .announce(90, 1)
      .work()
      .change(1, 2, 'old')
      .announce(90, 2)
      .work()
      .change(2, 90, 'successor')
      .announce(91, 90);
  const keyed = (log: Written) => log.said.filter(({ type }) => type.startsWith('key.'));

  it('carries the changes, and is verified alone against every key before', async () => {
    const carried = carriedEntries(keyed(studio()));
    expect(carried.map(({ seq, type }) => [seq, type])).toEqual([
      [3, 'key.change'],
      [4, 'key.announce'],
      [7, 'key.change'],
    ]);
    const site = new Written().announce(91, 90, carried).work();
    for (const key of [1, 2, 90]) {
      const verdict = await site.check(90, printOf(key));
      expect(verdict).toMatchObject({ result: 'verified-against-fingerprint', faults: [] });
      expect(verdict.notices).toContain(
        `changed without the old key at entry 7 of ${STUDIO}, by the key announced at entry 4 of ${STUDIO}`,
      );
    }
  });

  it('carries also what the studio’s log carried itself since a restore', async () => {
    const second = new Written(`${STUDIO}/epoch/2`)
      .announce(91, 90, carriedEntries(keyed(studio())))
      .work()
      .change(90, 5, 'old')
      .announce(92, 5);
    const site = new Written().announce(92, 5, carriedEntries(keyed(second))).work();
    for (const key of [1, 2, 90, 5]) {
      const verdict = await site.check(5, printOf(key));
      expect(verdict).toMatchObject({ result: 'verified-against-fingerprint', faults: [] });
    }
    const { notices } = await site.check(5);
    expect(notices).toContain(
      `changed without the old key at entry 7 of ${STUDIO}, by the key announced at entry 4 of ${STUDIO}`,
    );
    expect(notices).toContain(
      `the key was changed at entry 3 of epoch 2 of ${STUDIO}/epoch/2, signed by the key before it`,
    );
  });

  it('says that the history of keys broke before it began', async () => {
    const lost = new Written(STUDIO).announce(90, 1).change(1, 7, 'none').announce(91, 7);
    const site = new Written().announce(91, 7, carriedEntries(keyed(lost))).work();
    expect(await site.check(7, printOf(1))).toMatchObject({ result: 'consistent-key-unknown' });
  });

  it.each<[string, (carried: CarriedEntry[]) => CarriedEntry[]]>([
    [
      'of another archive',
      (all) => all.map((one) => ({ ...one, origin: 'mullion/another-one/studio' })),
    ],
    ['that lead to another key', (all) => all.slice(0, 1)],
    ['with one left out', (all) => [all[0]!, all[2]!]],
    ['at other places', (all) => all.map((one) => ({ ...one, seq: one.seq + 1 }))],
  ])('is not verified by changes %s', async (_, bend) => {
    const site = new Written().announce(91, 90, bend(carriedEntries(keyed(studio())))).work();
    const verdict = await site.check(90, printOf(1));
    expect(verdict.result).toBe('altered');
    expect(verdict.notices[0]).toContain('counts for nothing');
  });

  it('carries nothing while the key was never changed', () => {
    expect(carriedEntries(keyed(new Written(STUDIO).announce(90, 1).announce(91, 1)))).toEqual([]);
  });
});

it('tells each kind of change apart in words', () => {
  const change = { seq: 9, from: null, to: printOf(2) };
  const told = (['old', 'successor', 'none'] as const).map((signedBy) =>
    keyChangeSentence({ ...change, signedBy, announcedAt: 4 }, STUDIO),
  );
  expect(new Set(told).size).toBe(3);
  expect(told[0]).not.toContain('without the old key');
  for (const sentence of told.slice(1)) {
    expect(sentence).toContain('changed without the old key at entry 9');
  }
});
