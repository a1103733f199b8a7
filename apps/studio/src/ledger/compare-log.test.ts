import {
  announcedKey,
  base64Of,
  type CarriedEntry,
  changedKey,
  consistencyProof,
  entryBytes,
  Frontier,
  formatVerifierKey,
  inclusionProof,
  type JsonValue,
  leafHash,
  parseEntry,
  publicKeyOf,
  signCheckpoint,
  signEd25519,
  verifierKey,
} from '#libs/ledger';
import { compareLog, type LogAsking } from './compare-log.js';
import { epochAfter } from './epoch-after.js';
import type { KeptHead } from './kept-heads.js';

const ORIGIN = 'mullion/5f0c2a9e-demo/site/slm';
const NOW = '2026-11-25T09:00:00.000Z';
const seedOf = (key: number) => new Uint8Array(32).fill(key);
const publicOf = (key: number) => publicKeyOf(seedOf(key));
const signerOf = (key: number) => ({
  publicKey: publicOf(key),
  sign: (message: Uint8Array) => signEd25519(message, seedOf(key)),
});

/** A log as an archive writes and shows it. */
class ShownLog {
  readonly entries: Uint8Array[] = [];
  readonly #frontier = new Frontier();
  readonly #nodes = new Map<string, Uint8Array>();

  constructor(
    readonly origin = ORIGIN,
    readonly logId = 'site',
  ) {}

  get place(): { origin: string; seq: number } {
    return { origin: this.origin, seq: this.entries.length };
  }

  put(type: string, payload: object): this {
    const seq = this.entries.length;
    const bytes = entryBytes({
      v: 1,
      log: this.origin,
      seq,
      type,
      subject: null,
      actorId: 'a1',
      happened: null,
      recordedAt: NOW,
      payload: JSON.parse(JSON.stringify(payload)) as JsonValue,
      objects: [],
      supersedes: null,
      refs: [],
    });
    this.entries.push(bytes);
    this.#frontier.append(leafHash(bytes), ({ level, index, hash }) =>
      this.#nodes.set(`${level}/${index}`, hash),
    );
    return this;
  }

  work(count: number, word = 'crack'): this {
    for (let i = 0; i < count; i++) this.put('finding.record', { note: `${word} ${i}` });
    return this;
  }

  announce(successor: number, by: number): this {
    const earlier: CarriedEntry[] = [];
    const said = { successor: publicOf(successor), sealing: seedOf(3), earlier };
    return this.put('key.announce', announcedKey(this.place, signerOf(by), said));
  }

  told() {
    const { size } = this.#frontier;
    const rootHash = base64Of(this.#frontier.root());
    return { logId: this.logId, origin: this.origin, size, rootHash };
  }

  note(key: number): Promise<string> {
    const { size } = this.#frontier;
    return signCheckpoint(
      { origin: this.origin, size, root: this.#frontier.root() },
      signerOf(key),
    );
  }

  async kept(key: number): Promise<KeptHead> {
    return {
      logId: this.logId,
      origin: this.origin,
      size: this.#frontier.size,
      note: await this.note(key),
      key: formatVerifierKey(verifierKey(this.origin, publicOf(key))),
      keySince: NOW,
      seenAt: NOW,
    };
  }

  asking(key: number): LogAsking {
    const reader = {
      readHashes: (ids: readonly { level: number; index: number }[]) =>
        Promise.resolve(ids.map(({ level, index }) => this.#nodes.get(`${level}/${index}`)!)),
    };
    return {
      checkpoint: () => this.note(key),
      growth: (from, to) => consistencyProof(reader, from, to),
      inclusion: (seq, size) => inclusionProof(reader, seq, size),
      entriesOfType: (start) =>
        Promise.resolve(
          this.entries
            .map((bytes) => ({ bytes, ...parseEntry(bytes) }))
            .filter(({ type }) => type.startsWith(start))
            .map(({ seq, type, bytes }) => ({ seq, type, bytes })),
        ),
    };
  }

  compare(kept: KeptHead | undefined, key: number) {
    return compareLog(this.told(), publicOf(key), kept, this.asking(key), NOW);
  }
}

describe('a log that this browser remembers', () => {
  it('is kept at the first visit, and again as it grows', async () => {
    const log = new ShownLog().announce(90, 1).work(3);
    const first = await log.compare(undefined, 1);
    expect(first).toMatchObject({ kind: 'grew', head: { size: 4 } });
    const kept = await log.kept(1);
    expect(await log.work(5).compare(kept, 1)).toMatchObject({ kind: 'grew', head: { size: 9 } });
  });

  it.each<[string, (log: ShownLog) => ShownLog, string]>([
    ['rewritten', () => new ShownLog().announce(90, 1).work(9, 'other'), 'cannot prove'],
    ['set back', () => new ShownLog().announce(90, 1).work(1), 'set back'],
    ['another’s', () => new ShownLog('mullion/another-one/site/slm').work(9), 'another log'],
  ])('is refused when it was %s', async (_name, instead, words) => {
    const kept = await new ShownLog().announce(90, 1).work(3).kept(1);
    const found = await instead(new ShownLog()).compare(kept, 1);
    expect(found).toMatchObject({ kind: 'refused', kept });
    expect(found.kind === 'refused' && found.reason).toContain(words);
  });

  it('follows a key that the old one handed on, and that its successor took over', async () => {
    for (const [signedBy, to] of [
      ['old', 2],
      ['successor', 90],
    ] as const) {
      const log = new ShownLog().announce(90, 1).work(3);
      const kept = await log.kept(1);
      const by = signerOf(signedBy === 'old' ? 1 : to);
      log.put('key.change', changedKey(log.place, publicOf(1), publicOf(to), signedBy, by)).work(2);
      expect(await log.compare(kept, to)).toMatchObject({ kind: 'grew', head: { size: 7 } });
    }
  });

  it('is refused under a key that nobody known vouches for', async () => {
    const log = new ShownLog().announce(90, 1).work(3);
    const kept = await log.kept(1);
    expect(await log.work(1).compare(kept, 6)).toMatchObject({ kind: 'refused' });
    const change = changedKey(log.place, publicOf(1), publicOf(6), 'none', signerOf(6));
    const found = await log.put('key.change', change).work(1).compare(kept, 6);
    expect(found.kind === 'refused' && found.reason).toContain('without the key before it');
  });
});

describe('a restore that opened a new epoch', () => {
  const seen = () => new ShownLog().announce(90, 1).work(7);
  const setBack = () => new ShownLog().announce(90, 1).work(1);

  /** @param known origin and size of the checkpoint that it rests on @param before the log that closed */
  const epochOf = async (
    known: { origin?: string; size?: number },
    { by = 1, before = setBack() } = {},
  ) => {
    const { origin = ORIGIN, size = 8 } = known;
    const root = new Uint8Array(32).fill(8);
    const note = await signCheckpoint({ origin, size, root }, signerOf(1));
    const { rootHash } = before.told();
    return new ShownLog(`${ORIGIN}/epoch/2`, 'site.2')
      .put('log.epoch', {
        before: { origin: ORIGIN, size: before.told().size, rootHash },
        known: { origin, size, rootHash: base64Of(root), note },
        lost: { from: 2, to: size },
        heldBy: 'client',
        restored: null,
      })
      .announce(90, by);
  };

  const ask = async (later: ShownLog, key = 1) => {
    const closed = setBack();
    return epochAfter(
      await seen().kept(1),
      publicOf(key),
      { told: closed.told(), ask: closed.asking(key) },
      { told: later.told(), ask: later.asking(key) },
      NOW,
    );
  };

  it('is told as what it is', async () => {
    expect(await ask(await epochOf({}))).toMatchObject({
      kept: { size: 8 },
      closed: { size: 2, logId: 'site' },
      head: { size: 2, logId: 'site.2' },
      said: { seq: 0, payload: { lost: { from: 2, to: 8 } } },
    });
  });

  it.each<[string, () => Promise<ShownLog> | ShownLog, number]>([
    ['names another log', () => epochOf({ origin: 'mullion/5f0c2a9e-demo/site/other' }), 1],
    ['owns to less than was seen here', () => epochOf({ size: 5 }), 1],
    ['is signed by a stranger', () => epochOf({}, { by: 6 }), 6],
    ['says nothing', () => new ShownLog(`${ORIGIN}/epoch/2`, 'site.2').work(3), 1],
    ['names another closing than is shown', () => epochOf({}, { before: setBack().work(1) }), 1],
  ])('is none when it %s', async (_name, made, key) => {
    const later = await made();
    expect(await ask(later, key)).toBeUndefined();
  });
});
