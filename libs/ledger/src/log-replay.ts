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
import { openNote, parseNote } from './signed-note.js';
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

/**
 * The hashes stored for a node besides the leaf hash beside an entry: none, where the store keeps none
 * for it by design; an undefined one, where it should and does not.
 */
export type StoredHashes = (node: NodeId) => readonly (Uint8Array | undefined)[];

/** An entry whose bytes and leaf hash contradict each other; the next checkpoint says which is right. */
interface Conflict {
  seq: number;
  /** the tree with the leaf hash beside the entry in place of that of its bytes */
  tree: Frontier;
}

export class LogReplay {
  readonly #hasher;
  #frontier: Frontier;
  #conflict: Conflict | undefined;
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

  /** The entry whose fault is told only at the next checkpoint. */
  get unsettled(): number | undefined {
    return this.#conflict?.seq;
  }

  /**
   * The entry that stands next.
   * @param row undefined when there is none with this number
   * @returns the entry, when its bytes are one
   */
  entry(row: StoredEntry | undefined, stored: StoredHashes): Entry | undefined {
    const seq = this.size;
    const kept = stored({ level: 0, index: seq });
    if (row === undefined) {
      this.#fault({ place: 'entry', seq, reason: `entry ${seq} is missing` });
      this.#append(kept[0] ?? new Uint8Array(32), stored);
      return undefined;
    }
    const found = this.#hasher.leaf(row.bytes);
    const leaf = this.#believed(seq, found, row.leafHash, kept);
    const isAsHashed = bytesEqual(found, row.leafHash) || leaf === found;
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
    this.#settle(note);
    const problem = this.#checkpointProblem(note);
    if (problem === undefined) return true;
    this.#fault({ place: 'checkpoint', size, reason: `${what} of size ${size} ${problem}` });
    return false;
  }

  /** To be called behind the last entry and its checkpoint. */
  finish(): void {
    this.#settle(undefined);
  }

  /** Of two leaf hashes the signed root tells which one it was made over. */
  #settle(note: string | undefined): void {
    const conflict = this.#conflict;
    if (conflict === undefined) return;
    const { seq, tree } = conflict;
    const root = note === undefined ? undefined : rootOf(note);
    const isBytes = root !== undefined && bytesEqual(root, this.#frontier.root());
    const isColumn = root !== undefined && bytesEqual(root, tree.root());
    if (!isBytes && !isColumn && note !== undefined) return; // the next checkpoint may tell
    this.#conflict = undefined;
    if (isBytes) {
      this.#fault({
        place: 'leaf-hash',
        seq,
        reason: `the leaf hash beside entry ${seq} was changed`,
      });
      return;
    }
    if (isColumn) this.#frontier = tree;
    this.#fault({
      place: 'entry',
      seq,
      reason: `entry ${seq} was changed${isColumn ? '' : ', or the leaf hash beside it'}`,
    });
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

  /** The leaf hash to go on with; names what contradicts it, or leaves that to the next checkpoint. */
  #believed(
    seq: number,
    found: Uint8Array,
    column: Uint8Array,
    kept: readonly (Uint8Array | undefined)[],
  ): Uint8Array {
    const [node] = kept;
    const isColumn = bytesEqual(found, column);
    const isNode = node !== undefined && bytesEqual(found, node);
    if (isColumn) {
      if (kept.length > 0 && !isNode) this.#nodeFault(seq, node);
      return found;
    }
    if (isNode) {
      this.#fault({
        place: 'leaf-hash',
        seq,
        reason: `the leaf hash beside entry ${seq} was changed`,
      });
      return found;
    }
    if (node !== undefined && bytesEqual(column, node)) {
      this.#fault({ place: 'entry', seq, reason: `entry ${seq} was changed` });
      return column;
    }
    // two copies, or three that all differ
    if (this.#conflict !== undefined) this.#settle(undefined);
    const tree = new Frontier(this.#hasher, this.#frontier.size, this.#frontier.hashes);
    this.#conflict = { seq, tree };
    tree.append(column);
    return found;
  }

  #nodeFault(seq: number, node: Uint8Array | undefined): void {
    this.#fault({
      place: 'node',
      seq,
      node: { level: 0, index: seq },
      reason: `the tree's hash of entry ${seq} ${node === undefined ? 'is missing' : 'was changed'}`,
    });
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

  #append(leaf: Uint8Array, stored: StoredHashes): void {
    const conflict = this.#conflict;
    if (conflict !== undefined && conflict.tree.size === this.#frontier.size) {
      conflict.tree.append(leaf);
    }
    this.#frontier.append(leaf, (node) => {
      // while two trees stand against each other, hashes above the leaves fit one of them
      if (node.level > 0 && this.#conflict === undefined) this.#checkNode(node, stored(node));
    });
  }

  #checkNode({ level, index, hash }: TreeNode, stored: readonly (Uint8Array | undefined)[]): void {
    const span = 2 ** level;
    for (const one of stored) {
      if (one !== undefined && bytesEqual(one, hash)) continue;
      this.#fault({
        place: 'node',
        node: { level, index },
        reason: `the tree's hash over entries ${index * span} to ${(index + 1) * span - 1} ${
          one === undefined ? 'is missing' : `was changed: it is ${hexOf(one).slice(0, 16)}…`
        }`,
      });
    }
  }

  #fault(fault: ReplayFault): void {
    this.options.onFault(fault);
  }
}

function show(value: string | null): string {
  return value === null ? 'nothing' : JSON.stringify(value.slice(0, 80));
}

/** Undefined when the note says none. */
function rootOf(note: string): Uint8Array | undefined {
  try {
    return parseCheckpoint(parseNote(note).text).root;
  } catch {
    return undefined;
  }
}
