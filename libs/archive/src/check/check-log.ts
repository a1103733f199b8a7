/** One log of an archive: its rows, checkpoints, copies of checkpoints, references. */
import {
  type Entry,
  EpochHistory,
  type EpochLog,
  fingerprintOf,
  KeyHistory,
  keyChangeSentence,
  keyOfLog,
  LogReplay,
  openNote,
  type ReplayFault,
  type Sha256,
  type StoredEntry,
  type ToldEpoch,
  type VerifierKey,
} from '#libs/ledger';
import type { ObjectStore } from '#libs/objects';
import { withCosignatures } from '../outside/seen-by.js';
import type { Tx } from '../tx.js';
import type { CheckedArchiveLog, Findings } from './archive-report.js';
import { checkReferences } from './check-references.js';
import { copiedSizes, copyOfCheckpoint } from './copied-checkpoints.js';
import { logRowProblems } from './log-row-problems.js';
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
import { LostCheckpoints } from './lost-checkpoints.js';
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
  /** what later epochs tell of losses, in all logs */
  told: readonly ToldEpoch[];
  findings: Findings;
  notes: string[];
  /** each entry that could be read, with the log's id */
  onEntry(entry: Entry, logId: string): void;
  onProgress(done: number, total: number): void;
}

/** A log by itself, and what holds it together with those before and after it. */
export interface LogAlone {
  readonly result: CheckedArchiveLog;
  readonly epoch: EpochLog;
}

export async function checkLog(row: LogRow, ports: LogCheckPorts): Promise<LogAlone> {
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
  readonly #epochs: EpochHistory;
  readonly #lost: LostCheckpoints;
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
      times: { tokens: 0, newestSize: 0 },
    };
    const { hash } = ports;
    this.#epochs = new EpochHistory(log.origin);
    this.#lost = new LostCheckpoints(log.origin, ports.told, () => this.#epoch(0).keys);
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

  async run(): Promise<LogAlone> {
    const { tx } = this.#ports;
    const total = await believedSize(tx, this.#log);
    this.#copies = await copiedSizes(this.#ports.store, this.#log.logId);
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
    this.#ports.notes.push(...this.#lost.notes());
    return {
      result: { ...this.#result, size: total, ...this.#keyResult() },
      epoch: this.#epoch(total),
    };
  }

  #epoch(size: number): EpochLog {
    const key = this.#keyInForce();
    const keys = [...this.#keys.publicKeys, ...(key === undefined ? [] : [key])];
    return {
      origin: this.#log.origin,
      size,
      root: this.#replay.root(),
      told: this.#epochs.told,
      keys,
    };
  }

  #keyInForce(): Uint8Array | undefined {
    return this.#keys.current?.publicKey ?? this.#firstKey;
  }

  #keyResult(): Pick<CheckedArchiveLog, 'keyFingerprint' | 'trust'> {
    const { notes, fingerprint, hash } = this.#ports;
    const { origin } = this.#log;
    for (const change of this.#keys.changes)
      notes.push(`${origin}: ${keyChangeSentence(change, origin)}`);
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
        for (const reason of [this.#keys.add(entry), this.#epochs.add(entry)]) {
          if (reason !== undefined) this.#faults.push({ place: 'entry', seq, reason });
        }
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
      if (this.#lost.isOther(known.note, size, this.#replay.root())) this.#lost.addKnown(known);
      else this.#replay.checkpoint(known.note, `the checkpoint you kept (${known.name})`);
    }
  }

  async #checkCopy(size: number, note: string | undefined): Promise<void> {
    const copy = await this.#copy(size);
    if (copy === undefined) return;
    this.#result.copies += 1;
    if (copy === note) return; // the very text that was checked already
    if (this.#lost.isOther(copy, size, this.#replay.root())) {
      this.#lost.addCopy();
      return;
    }
    this.#replay.checkpoint(copy, 'the copy in the object store of the checkpoint');
    if (note === undefined) {
      this.#add(
        'checkpoint',
        `the checkpoint of size ${size} is missing: a copy of it lies in the object store`,
      );
    }
  }

  #copy(size: number): Promise<string | undefined> {
    return copyOfCheckpoint(this.#ports.store, { logId: this.#log.logId, size });
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
    const untold: number[] = [];
    for (const size of [...this.#copies].filter((one) => one > total).sort((a, b) => a - b)) {
      if (!this.#lost.isTold(size)) untold.push(size);
      else if (this.#lost.opened((await this.#copy(size)) ?? '')?.size === size)
        this.#lost.addCopy();
      else
        this.#add(
          'checkpoint-copy',
          `the copy in the object store of the checkpoint of size ${size} was changed: the archive did not sign it so`,
        );
    }
    const largest = untold.at(-1);
    if (largest !== undefined) {
      // a server that is at work may have gone on since the check began: such copies must be under the log now
      const now = await tx.first<{ size: number }>('SELECT size FROM log WHERE log_id = $1', [
        this.#log.logId,
      ]);
      if (largest > (now?.size ?? 0)) {
        this.#add(
          'checkpoint-copy',
          `a checkpoint over ${largest} entries was handed out (its copy lies in the object store), the log has ${total}: it was set back, and no later epoch tells of it`,
        );
      }
    }
    for (const one of known) {
      if (one.origin !== this.#log.origin || one.size <= total) continue;
      if (this.#lost.isTold(one.size) && this.#lost.opened(one.note) !== undefined)
        this.#lost.addKnown(one);
      else
        this.#add(
          'known-checkpoint',
          `the checkpoint you kept (${one.name}) is over ${one.size} entries, the log has ${total}: it was set back, and no later epoch tells of it`,
        );
    }
  }

  #checkRow(total: number): void {
    const { lastAt } = this.#replay;
    const found = { total, root: this.#replay.root(), lastAt };
    for (const reason of logRowProblems(this.#log, found)) this.#add('log', reason);
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
