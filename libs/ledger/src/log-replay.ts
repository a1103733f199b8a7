/**
 * A log as an archive stores it, gone through from its first entry: each stored copy of the same truth
 * (bytes, leaf hash, columns to search by, hashes of subtrees, checkpoints) against the others.
 *
 * Every fault names its place. Where copies contradict, the one that stands alone is named and the
 * others are gone on with, so that one changed bit does not put all later checkpoints in doubt. What
 * contradicts nothing proves nothing about who wrote it: see `KeyTrust` and `verify-log`.
 */

import { bytesEqual, hexOf } from './bytes.js';
import { parseCheckpoint } from './checkpoint.js';
import type { VerifySignature } from './ed25519.js';
import { type Entry, parseEntry } from './entry.js';
import { Frontier, type TreeNode } from './frontier.js';
import { type Sha256, sha256, treeHasher } from './hash.js';
import { openNote } from './signed-note.js';
import type { NodeId } from './tree.js';
import { verifierKey } from './verifier-key.js';

/** An entry as stored: its bytes, and what was taken out of them to search by. */
export interface StoredEntry {
  seq: number;
  type: string;
  subject: string | null;
  actorId: string;
  happened: string | null;
  /** RFC 3339, UTC, milliseconds */
  recordedAt: string;
  bytes: Uint8Array;
  leafHash: Uint8Array;
}

export interface ReplayFault {
  place: 'entry' | 'entry-column' | 'leaf-hash' | 'node' | 'checkpoint';
  /** entry, where one can be named */
  seq?: number;
  /** size of the checkpoint at fault */
  size?: number;
  node?: NodeId;
  reason: string;
}

export interface ReplayOptions {
  origin: string;
  onFault(fault: ReplayFault): void;
  /** public key that signs a checkpoint of this size: known to the log's own history, or the archive's */
  keyFor(size: number): Uint8Array | undefined;
  hash?: Sha256;
  verifySignature?: VerifySignature;
}

export class LogReplay {
  readonly #hasher;
  readonly #frontier: Frontier;
  #lastAt = '';

  constructor(private readonly options: ReplayOptions) {
    this.#hasher = treeHasher(options.hash ?? sha256);
    this.#frontier = new Frontier(this.#hasher);
  }

  /** Entries gone through. */
  get size(): number {
    return this.#frontier.size;
  }

  /** Root over the entries so far. */
  root(): Uint8Array {
    return this.#frontier.root();
  }

  /** recordedAt of the last entry; empty before the first. */
  get lastAt(): string {
    return this.#lastAt;
  }

  /**
   * The entry that stands next.
   * @param row undefined when there is none with this number
   * @param stored the hash stored for a node, undefined when it is not there
   * @returns the entry, when its bytes are one
   */
  entry(
    row: StoredEntry | undefined,
    stored: (node: NodeId) => Uint8Array | undefined,
  ): Entry | undefined {
    const seq = this.size;
    const kept = stored({ level: 0, index: seq });
    if (row === undefined) {
      this.#fault({ place: 'entry', seq, reason: `entry ${seq} is missing` });
      this.#append(kept ?? new Uint8Array(32), stored);
      return undefined;
    }
    const found = this.#hasher.leaf(row.bytes);
    const leaf = this.#believed(seq, found, row.leafHash, kept);
    const isAsHashed = bytesEqual(leaf, found);
    const entry = this.#parsed(seq, row.bytes, isAsHashed);
    if (entry !== undefined && isAsHashed) this.#checkEntry(seq, entry, row);
    this.#append(leaf, stored);
    return entry;
  }

  /**
   * A checkpoint that was handed out at the size gone through so far.
   * @param what how to call it in a sentence, e.g. `the copy in the object store`
   * @returns whether nothing is wrong with it
   */
  checkpoint(note: string, what = 'the checkpoint'): boolean {
    const { size } = this;
    const problem = this.#checkpointProblem(note);
    if (problem === undefined) return true;
    this.#fault({ place: 'checkpoint', size, reason: `${what} of size ${size} ${problem}` });
    return false;
  }

  #checkpointProblem(note: string): string | undefined {
    const { origin } = this.options;
    const key = this.options.keyFor(this.size);
    const known = key === undefined ? [] : [verifierKey(origin, key)];
    let opened;
    let head;
    try {
      opened = openNote(note, known, this.options.verifySignature);
      head = parseCheckpoint(opened.text);
    } catch (cause) {
      return `was changed: ${cause instanceof Error ? cause.message : String(cause)}`;
    }
    if (opened.failed.length > 0) return 'was changed: its signature does not hold';
    if (opened.verified.length === 0) return 'is not signed by the key in force at that entry';
    if (head.origin !== origin) return `belongs to the log ${head.origin}`;
    if (head.size !== this.size) return `says size ${head.size}`;
    if (bytesEqual(head.root, this.root())) return undefined;
    return 'has another root than the entries before it: the history was rewritten after it was signed';
  }

  /** Of three copies of a leaf hash the two that agree; names the one that does not. */
  #believed(
    seq: number,
    found: Uint8Array,
    column: Uint8Array,
    node: Uint8Array | undefined,
  ): Uint8Array {
    const same = (a: Uint8Array, b: Uint8Array | undefined) => b !== undefined && bytesEqual(a, b);
    const isColumn = same(found, column);
    const isNode = same(found, node);
    if (isColumn && isNode) return found;
    const bytesStandAlone = !isColumn && (!isNode || same(column, node));
    if (bytesStandAlone && (node === undefined || same(column, node))) {
      this.#fault({ place: 'entry', seq, reason: `entry ${seq} was changed` });
      return column;
    }
    if (bytesStandAlone) {
      this.#fault({
        place: 'entry',
        seq,
        reason: `entry ${seq} was changed, or both hashes stored for it: all three differ`,
      });
      return node!;
    }
    this.#fault({
      place: isColumn ? 'node' : 'leaf-hash',
      seq,
      ...(isColumn && { node: { level: 0, index: seq } }),
      reason: isColumn
        ? `the tree's hash of entry ${seq} ${node === undefined ? 'is missing' : 'was changed'}`
        : `the leaf hash beside entry ${seq} was changed`,
    });
    return found;
  }

  #parsed(seq: number, bytes: Uint8Array, isAsHashed: boolean): Entry | undefined {
    try {
      return parseEntry(bytes);
    } catch (cause) {
      // what is not as hashed was named already
      if (isAsHashed) {
        const detail = cause instanceof Error ? cause.message : String(cause);
        this.#fault({
          place: 'entry',
          seq,
          reason: `entry ${seq} is as hashed, but no entry: ${detail}`,
        });
      }
      return undefined;
    }
  }

  #checkEntry(seq: number, entry: Entry, row: StoredEntry): void {
    const { origin } = this.options;
    if (entry.seq !== seq) {
      this.#fault({
        place: 'entry',
        seq,
        reason: `entry ${entry.seq} stands where entry ${seq} belongs`,
      });
    }
    if (entry.log !== origin) {
      this.#fault({
        place: 'entry',
        seq,
        reason: `entry ${seq} belongs to the log ${entry.log}, not to ${origin}`,
      });
    }
    if (entry.recordedAt < this.#lastAt) {
      this.#fault({
        place: 'entry',
        seq,
        reason: `entry ${seq} was recorded at ${entry.recordedAt}, before the entry before it`,
      });
    }
    this.#lastAt = entry.recordedAt;
    for (const column of ['type', 'subject', 'actorId', 'happened', 'recordedAt'] as const) {
      if (entry[column] === row[column]) continue;
      this.#fault({
        place: 'entry-column',
        seq,
        reason: `the column ${column} beside entry ${seq} says ${show(row[column])}, the entry says ${show(entry[column])}`,
      });
    }
  }

  #append(leaf: Uint8Array, stored: (node: NodeId) => Uint8Array | undefined): void {
    this.#frontier.append(leaf, (node) => {
      if (node.level > 0) this.#checkNode(node, stored(node));
    });
  }

  #checkNode({ level, index, hash }: TreeNode, stored: Uint8Array | undefined): void {
    if (stored !== undefined && bytesEqual(stored, hash)) return;
    const span = 2 ** level;
    this.#fault({
      place: 'node',
      node: { level, index },
      reason: `the tree's hash over entries ${index * span} to ${(index + 1) * span - 1} ${
        stored === undefined ? 'is missing' : `was changed: it is ${hexOf(stored).slice(0, 16)}…`
      }`,
    });
  }

  #fault(fault: ReplayFault): void {
    this.options.onFault(fault);
  }
}

function show(value: string | null): string {
  return value === null ? 'nothing' : JSON.stringify(value.slice(0, 80));
}
