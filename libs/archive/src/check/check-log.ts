/** One log of an archive: its rows, checkpoints, copies of checkpoints, references. */
import {
  bytesEqual,
  type Entry,
  fingerprintOf,
  KeyHistory,
  keyChangeSentence,
  keyOfLog,
  LogReplay,
  openNote,
  parseOrigin,
  type ReplayFault,
  type Sha256,
  type StoredEntry,
  type VerifierKey,
} from '#libs/ledger';
import type { ObjectStore } from '#libs/objects';
import { checkpointKey } from '../checkpoint-copy.js';
import { withCosignatures } from '../outside/seen-by.js';
import type { Tx } from '../tx.js';
import type { CheckedArchiveLog, Findings } from './archive-report.js';
import { checkReferences } from './check-references.js';
import {
  believedOrigin,
  believedSize,
  checkpointRows,
  ENTRIES_A_PAGE,
  entryRows,
  type LogRow,
  storedHashes,
  strayCheckpoints,
  strayEntries,
  strayTiles,
} from './log-rows.js';
import { nativeVerify } from './native-signature.js';
import { whatIs } from './what-is.js';

/** A checkpoint that the reader kept elsewhere. */
export interface KnownCheckpoint {
  /** how to call it: a file's name */
  name: string;
  origin: string;
  size: number;
  note: string;
}

export interface LogCheckPorts {
  tx: Tx;
  store: ObjectStore;
  hash: Sha256;
  /** the archive's key, for a log that does not name its own; Ed25519, 32 bytes */
  publicKey: Uint8Array | undefined;
  /** what the reader holds the key against, well-formed */
  fingerprint: string | undefined;
  witnesses: readonly VerifierKey[];
  known: readonly KnownCheckpoint[];
  findings: Findings;
  notes: string[];
  /** each entry that could be read, with the log's id */
  onEntry(entry: Entry, logId: string): void;
  onProgress(done: number, total: number): void;
}

export async function checkLog(row: LogRow, ports: LogCheckPorts): Promise<CheckedArchiveLog> {
  const origin = await believedOrigin(ports.tx, row);
  if (origin !== row.origin) {
    ports.findings.add({
      place: 'log',
      log: origin,
      reason: `the log's row says its origin is ${row.origin}, its entries and checkpoints say ${origin}`,
    });
  }
  return new OneLog({ ...row, origin }, ports).run();
}

/** An entry as stored and as read, for a fault that is told later. */
interface LookedAt {
  row: StoredEntry | undefined;
  entry: Entry | undefined;
}

class OneLog {
  readonly #log: LogRow;
  readonly #ports: LogCheckPorts;
  readonly #replay: LogReplay;
  readonly #result: CheckedArchiveLog;
  readonly #keys: KeyHistory;
  /** the key before the log's first word about keys */
  #firstKey: Uint8Array | undefined;
  #copies: ReadonlySet<number> = new Set();
  #uncopied = 0;
  #lastSigned = 0;
  /** found in the entry that is being looked at, told once it is known which of its copies is right */
  #faults: ReplayFault[] = [];
  #unsettled: LookedAt | undefined;

  constructor(log: LogRow, ports: LogCheckPorts) {
    this.#log = log;
    this.#ports = ports;
    this.#result = {
      origin: log.origin,
      size: 0,
      checkpoints: 0,
      copies: 0,
    };
    const { hash } = ports;
    this.#keys = new KeyHistory(log.origin, { hash, verifySignature: nativeVerify });
    this.#replay = new LogReplay({
      origin: log.origin,
      hash,
      verifySignature: nativeVerify,
      keyFor: () => this.#keyInForce(),
      onFault: (fault) => {
        const late = this.#unsettled;
        if (fault.place === 'checkpoint') this.#tell(fault, undefined);
        else if (late !== undefined && late.row?.seq === fault.seq) this.#tellOne(fault, late);
        else this.#faults.push(fault);
      },
    });
  }

  async run(): Promise<CheckedArchiveLog> {
    const { tx } = this.#ports;
    const total = await believedSize(tx, this.#log);
    this.#copies = await this.#copiedSizes();
    this.#firstKey = (await firstKeyOf(tx, this.#log)) ?? this.#ports.publicKey;
    for (let from = 0; from < total; from += ENTRIES_A_PAGE) {
      await this.#page(from, Math.min(total, from + ENTRIES_A_PAGE), total);
      this.#ports.onProgress(this.#replay.size, total);
    }
    this.#replay.finish();
    await this.#strays(total);
    this.#checkRow(total);
    if (this.#lastSigned < total) {
      this.#add(
        'checkpoint',
        `entries ${this.#lastSigned} to ${total - 1} are under no checkpoint`,
      );
    }
    await this.#checkBeyond(total);
    if (this.#uncopied > 0) {
      this.#ports.notes.push(
        `${this.#log.origin}: ${this.#uncopied} of ${this.#result.checkpoints} checkpoints have no copy in the object store`,
      );
    }
    return { ...this.#result, size: total, ...this.#keyResult() };
  }

  #keyInForce(): Uint8Array | undefined {
    return this.#keys.current?.publicKey ?? this.#firstKey;
  }

  #keyResult(): Pick<CheckedArchiveLog, 'keyFingerprint' | 'trust'> {
    const { notes, fingerprint, hash } = this.#ports;
    const { origin } = this.#log;
    for (const change of this.#keys.changes) notes.push(`${origin}: ${keyChangeSentence(change)}`);
    for (const notice of this.#keys.notices) notes.push(`${origin}: ${notice}`);
    const key = this.#keyInForce();
    const found = key && fingerprintOf(key, hash);
    const trust =
      fingerprint === undefined || found === undefined
        ? undefined
        : found === fingerprint
          ? ({ kind: 'vouched', changes: [] } as const)
          : this.#keys.trust(fingerprint);
    return { ...(found && { keyFingerprint: found }), ...(trust && { trust }) };
  }

  async #page(from: number, to: number, total: number): Promise<void> {
    const { tx, findings } = this.#ports;
    const { logId, origin } = this.#log;
    const rows = await entryRows(tx, logId, from, to);
    const hashes = await storedHashes(tx, logId, from, to, total);
    const signed = await checkpointRows(tx, logId, from, to);
    const entries: Entry[] = [];
    for (let seq = from; seq < to; seq++) {
      const row = rows.get(seq);
      const entry = this.#replay.entry(row, hashes);
      if (this.#replay.unsettled === seq) this.#unsettled = { row, entry };
      this.#tellOf(row, entry);
      if (entry !== undefined) {
        entries.push(entry);
        const problem = this.#keys.add(entry);
        if (problem !== undefined) this.#faults.push({ place: 'entry', seq, reason: problem });
        this.#tellOf(row, entry);
        this.#ports.onEntry(entry, logId);
      }
      await this.#atSize(seq + 1, signed.get(seq + 1));
    }
    await checkReferences(tx, entries, origin, findings);
  }

  async #atSize(size: number, note: string | undefined): Promise<void> {
    if (note !== undefined) {
      this.#result.checkpoints += 1;
      this.#lastSigned = size;
      if (this.#replay.checkpoint(note)) await this.#seenByWitness(note, size);
    }
    if (this.#copies.has(size)) await this.#checkCopy(size, note);
    else if (note !== undefined) this.#uncopied += 1;
    for (const known of this.#ports.known) {
      if (known.origin !== this.#log.origin || known.size !== size) continue;
      this.#replay.checkpoint(known.note, `the checkpoint you kept (${known.name})`);
    }
  }

  async #checkCopy(size: number, note: string | undefined): Promise<void> {
    const copy = await this.#copy(size);
    if (copy === undefined) return;
    this.#result.copies += 1;
    if (copy === note) return; // the very text that was checked already
    this.#replay.checkpoint(copy, 'the copy in the object store of the checkpoint');
    if (note === undefined) {
      this.#add(
        'checkpoint',
        `the checkpoint of size ${size} is missing: a copy of it lies in the object store`,
      );
    }
  }

  async #copy(size: number): Promise<string | undefined> {
    const bytes = await this.#ports.store.readNamed(
      checkpointKey({ logId: this.#log.logId, size }),
    );
    return bytes === undefined ? undefined : new TextDecoder().decode(bytes);
  }

  async #copiedSizes(): Promise<Set<number>> {
    const sizes = new Set<number>();
    const prefix = `checkpoints/${this.#log.logId}/`;
    for await (const key of this.#ports.store.listNamed(prefix)) {
      const size = Number(key.slice(prefix.length));
      if (Number.isSafeInteger(size) && size > 0) sizes.add(size);
    }
    return sizes;
  }

  async #seenByWitness(note: string, size: number): Promise<void> {
    const { tx, witnesses } = this.#ports;
    if (witnesses.length === 0) return;
    const { origin } = this.#log;
    const seen = await withCosignatures(tx, { origin, size, note });
    const { verified, failed } = openNote(seen, witnesses, nativeVerify);
    for (const { name } of failed) {
      this.#add(
        'checkpoint',
        `the cosignature of ${name} under the checkpoint of size ${size} does not hold`,
      );
    }
    const [first] = verified;
    if (first !== undefined) this.#result.witness = { name: first.key.name, size };
  }

  /** What was handed out over more entries than there are. */
  async #checkBeyond(total: number): Promise<void> {
    const { tx, known } = this.#ports;
    const beyond = [...this.#copies].filter((size) => size > total).sort((a, b) => a - b);
    if (beyond.length > 0) {
      // a server that is at work may have gone on since the check began: such copies must be under the log now
      const now = await tx.first<{ size: number }>('SELECT size FROM log WHERE log_id = $1', [
        this.#log.logId,
      ]);
      const largest = beyond.at(-1)!;
      if (largest > (now?.size ?? 0)) {
        this.#add(
          'checkpoint-copy',
          `a checkpoint over ${largest} entries was handed out (its copy lies in the object store), the log has ${total}: it was set back`,
        );
      }
    }
    for (const one of known) {
      if (one.origin !== this.#log.origin || one.size <= total) continue;
      this.#add(
        'known-checkpoint',
        `the checkpoint you kept (${one.name}) is over ${one.size} entries, the log has ${total}: it was set back`,
      );
    }
  }

  #checkRow(total: number): void {
    const { size, rootHash, lastAt, siteId, logId, origin } = this.#log;
    if (size !== total) {
      this.#add('log', `the log's row says ${size} entries, there are ${total}`);
    }
    if (!bytesEqual(rootHash, this.#replay.root())) {
      this.#add('log', 'the root hash in the log’s row is not that of its entries');
    }
    if (total > 0 && lastAt.toISOString() !== this.#replay.lastAt) {
      this.#add(
        'log',
        `the log's row says the last entry was recorded at ${lastAt.toISOString()}, it says ${this.#replay.lastAt}`,
      );
    }
    const parsed = parseOrigin(origin);
    const isStudio = parsed?.log === 'studio';
    // the id of a later epoch begins with that of the first
    const isNamed = logId.startsWith(siteId ?? 'studio');
    if (parsed === undefined || isStudio !== (siteId === null) || !isNamed) {
      this.#add(
        'log',
        `the log's row (${logId}, site ${siteId ?? 'none'}) does not fit its origin`,
      );
    }
  }

  async #strays(total: number): Promise<void> {
    const { tx } = this.#ports;
    const { logId } = this.#log;
    for (const { seq, type, subject } of await strayEntries(tx, logId, total)) {
      this.#add('entry', `entry ${seq} is one too many: the log has ${total}`, {
        seq,
        what: whatIs(type, subject),
      });
    }
    for (const { level, index } of await strayTiles(tx, logId, total)) {
      this.#add('node', `a tile of hashes is stored that the log has not (${level}/${index})`);
    }
    for (const size of await strayCheckpoints(tx, logId, total)) {
      this.#add(
        'checkpoint',
        `there is a checkpoint of size ${size}, the log has ${total} entries`,
      );
    }
  }

  #tellOf(row: StoredEntry | undefined, entry: Entry | undefined): void {
    for (const fault of this.#faults) this.#tellOne(fault, { row, entry });
    this.#faults = [];
  }

  /** Where the bytes are at fault the columns beside them still tell the mark. */
  #tellOne(fault: ReplayFault, { row, entry }: LookedAt): void {
    this.#tell(fault, fault.place === 'entry' ? row : (entry ?? row));
  }

  #tell(
    { place, seq, reason }: ReplayFault,
    about: { type: string; subject: string | null } | undefined,
  ): void {
    this.#add(place, reason, {
      ...(seq !== undefined && { seq }),
      ...(about !== undefined && { what: whatIs(about.type, about.subject) }),
    });
  }

  #add(
    place: ReplayFault['place'] | 'log' | 'checkpoint-copy' | 'known-checkpoint',
    reason: string,
    more: { seq?: number; what?: string } = {},
  ): void {
    this.#ports.findings.add({ place, log: this.#log.origin, reason, ...more });
  }
}

/** The key that the first entry about keys names as the one before it. */
async function firstKeyOf(tx: Tx, { logId, origin }: LogRow): Promise<Uint8Array | undefined> {
  const row = await tx.first<{ bytes: Buffer }>(
    `SELECT bytes FROM entry WHERE log_id = $1 AND type IN ('key.announce', 'key.change')
     ORDER BY seq LIMIT 1`,
    [logId],
  );
  if (row === undefined) return undefined;
  try {
    const { payload } = JSON.parse(row.bytes.toString()) as {
      payload?: { key?: unknown; fromKey?: unknown };
    };
    return keyOfLog(payload?.key ?? payload?.fromKey, origin);
  } catch {
    return undefined; // damaged: told where its turn comes
  }
}
