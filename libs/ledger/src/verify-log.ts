/**
 * What can be said of a log that came from somewhere: the three results.
 *
 * *altered* · *consistent with itself, key not known to you* · *verified against a fingerprint or a
 * witness that the reader trusts*. The key that travels with a log proves nothing about who holds
 * it: a forgery signed again throughout is consistent with itself, so only what the reader brings
 * can lift the result to *verified*. A fingerprint of an earlier key does so where every change since is
 * vouched for, by the key before it or by the successor that it announced; a change by neither ends that.
 *
 * A log may withhold entries from this reader: their leaf hashes stand in for them, and the root
 * still binds everything (RFC 9162 section 2.1.1).
 */

import { bytesEqual } from './bytes.js';
import { type Checkpoint, parseCheckpoint } from './checkpoint.js';
import { witnessKeyForms } from './cosignature.js';
import type { VerifySignature } from './ed25519.js';
import { type Entry, parseEntry } from './entry.js';
import { EpochHistory, type ToldEpoch } from './epoch-history.js';
import { fingerprintOf, readFingerprint } from './fingerprint.js';
import { Frontier } from './frontier.js';
import { type Sha256, sha256, treeHasher } from './hash.js';
import { type KeyChanged, KeyHistory, keyChangeSentence } from './key-history.js';
import type { LeafList } from './leaf-list.js';
import { type OpenedNote, openNote } from './signed-note.js';
import { parseVerifierKey, type VerifierKey } from './verifier-key.js';

export type LogResult = 'verified-against-fingerprint' | 'consistent-key-unknown' | 'altered';

export interface LogFault {
  place: 'entry' | 'checkpoint' | 'key' | 'leaf-list';
  /** entry number, where one can be named */
  seq?: number;
  reason: string;
}

/** What the reader brought that lifts a result to verified. */
export type Anchor =
  | { kind: 'fingerprint'; fingerprint: string }
  /** @param atSeconds POSIX time at which the witness saw this head, when it stated one */
  | { kind: 'witness'; name: string; atSeconds?: number };

export interface LogVerdict {
  result: LogResult;
  faults: readonly LogFault[];
  /** undefined when the checkpoint cannot be read */
  checkpoint?: { origin: string; size: number; root: Uint8Array };
  /** fingerprint of the key that came with the log; says nothing by itself */
  keyFingerprint?: string;
  anchor?: Anchor;
  /**
   * Entries of the log itself name the key that came with it. A witness answers for entries only, and
   * its cosignature does not cover the log's own: without this, it says nothing of the key.
   */
  isKeyInHistory: boolean;
  /** changes of the key that the log itself tells of, their signatures checked */
  keyChanges: readonly KeyChanged[];
  /** what must be said of the key beside the result */
  notices: readonly string[];
  /** what its entries tell of epochs before this one: to be held against those logs, see `chainEpochs` */
  epochsTold: readonly ToldEpoch[];
  /** Ed25519 public keys that the log's own history names, and the one that came with it */
  publicKeys: readonly Uint8Array[];
  /** entries read and entries withheld */
  entries: number;
  withheld: number;
}

export interface LogTrust {
  /** verifier key as it came with the log: not trusted, only used */
  key: string;
  /** archive fingerprint from a letter, a record, a sign-in page */
  fingerprint?: string;
  /** verifier keys of witnesses the reader trusts */
  witnessKeys?: readonly string[];
}

export interface LogCheckOptions extends LogTrust {
  /** one per entry in order; names the changed entry and allows withheld ones */
  leaves?: LeafList;
  /**
   * false: hashes only, for a log whose entries were checked when written; changes of the key are not
   * followed then. Default true.
   */
  checkForm?: boolean;
  hash?: Sha256;
  verifySignature?: VerifySignature;
}

/** Faults beyond this many are counted, not listed: one cut line can shift a million. */
const FAULTS_MAX = 50;

/**
 * Checks a log entry by entry, so that it need not be in memory.
 * @throws Error from the constructor when the reader's fingerprint or a witness key is mistyped:
 * that says nothing about the log
 */
export class LogCheck {
  private readonly frontier: Frontier;
  private readonly hasher;
  private readonly faults: LogFault[] = [];
  private readonly leaves: LeafList | undefined;
  private readonly head: Checkpoint | undefined;
  private readonly key: VerifierKey | undefined;
  private readonly opened: OpenedNote | undefined;
  private readonly fingerprint: string | undefined;
  private readonly witness: Anchor | undefined;
  private readonly keys: KeyHistory;
  private readonly epochs: EpochHistory;
  private readonly keysBrought: readonly VerifierKey[];
  /** the signature of the key that came with it holds: what the checkpoint says can be held against others */
  private readonly isSigned: boolean;
  private unlisted = 0;
  private position = 0;
  private read = 0;

  constructor(
    note: string,
    private readonly options: LogCheckOptions,
  ) {
    const hash = options.hash ?? sha256;
    this.hasher = treeHasher(hash);
    this.frontier = new Frontier(this.hasher);
    this.leaves = options.leaves;
    this.fingerprint =
      options.fingerprint === undefined ? undefined : fingerprintBrought(options.fingerprint, hash);
    const witnesses = (options.witnessKeys ?? []).flatMap(witnessKeysBrought);
    this.keysBrought = witnesses;
    this.key = parseVerifierKey(options.key);
    if (this.key === undefined) {
      this.fault({ place: 'key', reason: 'the key that came with the log cannot be read' });
    }
    try {
      const known = this.key === undefined ? witnesses : [this.key, ...witnesses];
      this.opened = openNote(note, known, options.verifySignature);
      this.head = parseCheckpoint(this.opened.text);
    } catch (cause) {
      const detail = cause instanceof Error ? cause.message : String(cause);
      this.fault({ place: 'checkpoint', reason: `the checkpoint was changed: ${detail}` });
    }
    this.isSigned = this.opened?.verified.some((one) => one.key === this.key) ?? false;
    this.witness = this.checkSignatures();
    this.epochs = new EpochHistory(this.head?.origin ?? '');
    this.keys = new KeyHistory(this.head?.origin ?? '', {
      hash,
      ...(options.verifySignature && { verifySignature: options.verifySignature }),
    });
  }

  /** The next entry that is not withheld, exactly as it was written. */
  add(bytes: Uint8Array): Entry | undefined {
    const leaf = this.hasher.leaf(bytes);
    const entry = this.options.checkForm === false ? undefined : this.parse(bytes);
    this.read += 1;
    if (this.leaves === undefined) {
      this.checkPlace(entry, this.position);
      this.frontier.append(leaf);
      this.position += 1;
    } else {
      this.match(leaf, entry, this.leaves);
    }
    return entry;
  }

  finish(): LogVerdict {
    const { head, leaves } = this;
    if (leaves !== undefined) {
      this.skipWithheld(leaves);
      if (this.position < leaves.size) this.faultMissing(this.position, leaves.size);
      for (let seq = 0; seq < leaves.size; seq++) this.frontier.append(leaves.at(seq)!.slice());
    }
    if (head !== undefined) this.checkRoot(head);
    const byKey = this.checkKey();
    // a witness cannot answer for a fingerprint that the reader brought and that does not hold
    const anchor = this.fingerprint === undefined ? this.witness : byKey;
    const withheld = leaves?.withheldCount ?? 0;
    if (this.unlisted > 0) {
      this.faults.push({ place: 'entry', reason: `and ${this.unlisted} further faults` });
    }
    return {
      result:
        this.faults.length > 0
          ? 'altered'
          : anchor === undefined
            ? 'consistent-key-unknown'
            : 'verified-against-fingerprint',
      faults: this.faults,
      ...(head && {
        checkpoint: { origin: head.origin, size: head.size, root: head.root },
      }),
      ...(this.key && { keyFingerprint: fingerprintOf(this.key.publicKey, this.options.hash) }),
      ...(this.faults.length === 0 && anchor && { anchor }),
      isKeyInHistory:
        this.key !== undefined &&
        this.keys.current !== undefined &&
        bytesEqual(this.keys.current.publicKey, this.key.publicKey),
      keyChanges: this.keys.changes,
      notices: [
        ...this.keys.changes.map((change) => keyChangeSentence(change, head?.origin ?? '')),
        ...this.keys.notices,
      ],
      epochsTold: this.epochs.told,
      publicKeys: [
        ...this.keys.publicKeys,
        ...(this.key === undefined ? [] : [this.key.publicKey]),
      ],
      entries: this.read,
      withheld,
    };
  }

  private match(leaf: Uint8Array, entry: Entry | undefined, leaves: LeafList): void {
    this.skipWithheld(leaves);
    const here = leaves.at(this.position);
    if (here !== undefined && bytesEqual(here, leaf)) {
      this.checkPlace(entry, this.position);
      this.position += 1;
      return;
    }
    // Not the entry that stands here: is it a later one, so that some between are missing?
    const listed = entry === undefined ? undefined : leaves.at(entry.seq);
    if (
      entry !== undefined &&
      listed !== undefined &&
      entry.seq > this.position &&
      bytesEqual(listed, leaf)
    ) {
      this.faultMissing(this.position, entry.seq, leaves);
      this.position = entry.seq + 1;
    } else if (here === undefined) {
      this.fault({
        place: 'entry',
        reason: `line ${this.read} is an entry too many: the log ends before it`,
      });
    } else if (entry !== undefined && entry.seq !== this.position) {
      this.fault({
        place: 'entry',
        seq: entry.seq,
        reason: `line ${this.read} says it is entry ${entry.seq}, where entry ${this.position} stood: it was changed, added or moved`,
      });
    } else {
      this.fault({
        place: 'entry',
        seq: this.position,
        reason: `entry ${this.position} was changed`,
      });
      this.position += 1;
    }
  }

  private skipWithheld(leaves: LeafList): void {
    while (leaves.isWithheld(this.position)) this.position += 1;
  }

  private parse(bytes: Uint8Array): Entry | undefined {
    try {
      return parseEntry(bytes);
    } catch (cause) {
      const detail = cause instanceof Error ? cause.message : String(cause);
      if (this.leaves === undefined) {
        this.fault({
          place: 'entry',
          seq: this.position,
          reason: `entry ${this.position} was changed or is no entry: ${detail}`,
        });
      } else {
        this.skipWithheld(this.leaves);
        const listed = this.leaves.at(this.position);
        // A changed entry is named by `match`; one that is as signed but malformed is named here.
        if (listed !== undefined && bytesEqual(listed, this.hasher.leaf(bytes))) {
          this.fault({
            place: 'entry',
            seq: this.position,
            reason: `entry ${this.position} is as signed, but no entry: ${detail}`,
          });
        }
      }
      return undefined;
    }
  }

  private checkPlace(entry: Entry | undefined, position: number): void {
    if (entry === undefined) return;
    if (entry.seq === position && this.isSigned) {
      for (const reason of [this.keys.add(entry), this.epochs.add(entry)]) {
        if (reason !== undefined) this.fault({ place: 'entry', seq: position, reason });
      }
    }
    if (entry.seq !== position) {
      this.fault({
        place: 'entry',
        seq: position,
        reason: `entry ${entry.seq} stands where entry ${position} belongs: entries were changed, removed or added`,
      });
    }
    // A checkpoint whose signature fails is at fault itself, not every entry it does not fit.
    if (this.isSigned && this.head !== undefined && entry.log !== this.head.origin) {
      this.fault({
        place: 'entry',
        seq: position,
        reason: `entry ${position} belongs to the log ${entry.log}, not to ${this.head.origin}`,
      });
    }
  }

  private checkRoot(head: Checkpoint): void {
    const { size } = this.frontier;
    const place = this.leaves === undefined ? 'entry' : 'leaf-list';
    if (size < head.size) {
      this.fault({
        place,
        seq: size,
        reason: `entries ${size} to ${head.size - 1} are missing: the checkpoint covers ${head.size}`,
      });
    } else if (size > head.size) {
      this.fault({
        place,
        seq: head.size,
        reason: `entries from ${head.size} on were added: the checkpoint covers ${head.size}`,
      });
    } else if (!bytesEqual(this.frontier.root(), head.root)) {
      this.fault({
        place: this.leaves === undefined && this.faults.length > 0 ? 'checkpoint' : place,
        reason:
          'the tree over the entries has another root than the checkpoint: one of them was changed',
      });
    }
  }

  private checkSignatures(): Anchor | undefined {
    const { opened, head, key } = this;
    if (opened === undefined || head === undefined || key === undefined) return undefined;
    for (const failed of opened.failed) {
      this.fault({
        place: 'checkpoint',
        reason: `the signature of ${failed.name} does not hold: the checkpoint was changed`,
      });
    }
    if (key.name !== head.origin) {
      this.fault({
        place: 'key',
        reason: `the key is for ${key.name}, the checkpoint for ${head.origin}`,
      });
    }
    if (!this.isSigned && !opened.failed.includes(key)) {
      this.fault({
        place: 'checkpoint',
        reason: 'the checkpoint is not signed by the key that came with it',
      });
    }
    // A reader who brings the log's own key as text says as much as with its fingerprint.
    const isBrought = this.keysBrought.some(
      (one) => one.keyId === key.keyId && bytesEqual(one.publicKey, key.publicKey),
    );
    if (isBrought) {
      return { kind: 'fingerprint', fingerprint: fingerprintOf(key.publicKey, this.options.hash) };
    }
    const witness = opened.verified.find((one) => one.key !== key);
    if (witness === undefined) return undefined;
    return {
      kind: 'witness',
      name: witness.key.name,
      ...(witness.at !== undefined && { atSeconds: witness.at }),
    };
  }

  /** The key against the log's own history of keys and the fingerprint that the reader brought. */
  private checkKey(): Anchor | undefined {
    const { key, head, keys, fingerprint } = this;
    if (key === undefined || head === undefined) return undefined;
    const found = fingerprintOf(key.publicKey, this.options.hash);
    const inForce = keys.current?.fingerprint ?? found;
    if (inForce !== found) {
      this.fault({
        place: 'key',
        reason: `the checkpoint is signed by ${found}, but by the log itself the key in force is ${inForce}`,
      });
    }
    if (fingerprint === undefined) return undefined;
    if (found === fingerprint) return { kind: 'fingerprint', fingerprint };
    const trust = keys.trust(fingerprint);
    if (trust.kind === 'vouched') return { kind: 'fingerprint', fingerprint };
    if (trust.kind === 'unknown') {
      this.faults.unshift({
        place: 'key',
        reason: `the key does not match the fingerprint: it is ${found}, you gave ${fingerprint}; somebody else signed this`,
      });
    }
    return undefined;
  }

  private faultMissing(from: number, to: number, leaves: LeafList | undefined = this.leaves): void {
    for (let seq = from; seq < to; seq++) {
      if (leaves?.isWithheld(seq) === true) continue;
      this.fault({ place: 'entry', seq, reason: `entry ${seq} is missing` });
    }
  }

  private fault(fault: LogFault): void {
    if (this.faults.length < FAULTS_MAX) this.faults.push(fault);
    else this.unlisted += 1;
  }
}

/**
 * The verdict over a whole log.
 *
 * @param entries canonical bytes of the entries in order, without the withheld ones
 * @param note the signed checkpoint
 * @throws Error when the reader's own fingerprint or witness key is mistyped
 */
export function verifyLog(
  entries: Iterable<Uint8Array>,
  note: string,
  options: LogCheckOptions,
): LogVerdict {
  const check = new LogCheck(note, options);
  for (const bytes of entries) check.add(bytes);
  return check.finish();
}

/** Lines of an `entries.jsonl`: canonical JSON has no line feed inside. A cut last line is a line too. */
export function* entryLines(file: Uint8Array): Generator<Uint8Array> {
  let begin = 0;
  while (begin < file.length) {
    const end = file.indexOf(0x0a, begin);
    yield file.subarray(begin, end < 0 ? file.length : end);
    if (end < 0) return;
    begin = end + 1;
  }
}

function fingerprintBrought(typed: string, hash: Sha256): string {
  const reading = readFingerprint(typed, hash);
  if (!reading.ok) throw new Error(reading.reason);
  return reading.fingerprint;
}

/**
 * The forms of a witness's key as a reader brings it.
 * @throws Error when the text is no verifier key
 */
export function witnessKeysBrought(text: string): VerifierKey[] {
  const key = parseVerifierKey(text.trim());
  if (key === undefined) {
    throw new Error(
      `not the verifier key of a witness (name+id+base64, type 1 or 4): ${text.slice(0, 80)}`,
    );
  }
  return witnessKeyForms(key);
}
