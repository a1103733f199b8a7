/** One log as its reader follows it: a tree of the reader's own, entry after entry. */
import { type Entry, Frontier, leafHash, parseEntry } from '#libs/ledger';

export interface LogRow {
  readonly logId: string;
  readonly size: number;
  readonly root: string;
}

export interface EntryRow {
  readonly logId: string;
  readonly seq: number;
  readonly bytes: Uint8Array;
  /** as the database has it, hexadecimal */
  readonly leafHash: string;
}

export class FollowedLog {
  readonly #frontier = new Frontier();
  /** root at each size that was passed */
  readonly #roots = [hex(new Frontier().root())];
  readonly #leaves: string[] = [];
  #lastAt = '';

  constructor(readonly logId: string) {}

  /** Entries read so far. */
  get size(): number {
    return this.#frontier.size;
  }

  /** Root over the first `size` entries, hexadecimal; undefined where the log was never so long. */
  rootAt(size: number): string | undefined {
    return this.#roots[size];
  }

  has(seq: number): boolean {
    return seq < this.#leaves.length;
  }

  /**
   * Takes rows in, new ones and such as were read before.
   *
   * @param from place in the log where they begin
   * @param onNew told of each entry that was not known
   * @returns what does not hold
   */
  take(rows: readonly EntryRow[], from: number, onNew: (entry: Entry) => void): string[] {
    const faults: string[] = [];
    for (const [at, { seq, bytes, leafHash: kept }] of rows.entries()) {
      const where = `${this.logId}/${seq}`;
      const leaf = leafHash(bytes);
      if (seq !== from + at) faults.push(`${this.logId}: entry ${from + at} is missing`);
      if (hex(leaf) !== kept) faults.push(`${where}: the leaf hash beside it is another`);
      if (this.has(seq)) {
        if (this.#leaves[seq] !== hex(leaf)) faults.push(`${where}: reads otherwise than before`);
        continue;
      }
      const entry = parseEntry(bytes);
      if (entry.recordedAt < this.#lastAt) faults.push(`${where}: recorded before the one before`);
      this.#lastAt = entry.recordedAt;
      this.#frontier.append(leaf);
      this.#roots.push(hex(this.#frontier.root()));
      this.#leaves.push(hex(leaf));
      onNew(entry);
    }
    return faults;
  }

  /** Holds the head of the same moment against what was read. */
  holdHead({ size, root }: LogRow): string[] {
    if (size !== this.size) return [`${this.logId}: ${this.size} entries read, head says ${size}`];
    if (root !== this.rootAt(size)) return [`${this.logId}: head of size ${size} has another root`];
    return [];
  }
}

export const hex = (bytes: Uint8Array) => Buffer.from(bytes).toString('hex');
