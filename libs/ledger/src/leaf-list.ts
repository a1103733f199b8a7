/**
 * The leaf hashes of a log, with a mark on those whose entries are withheld from a reader.
 *
 * As text: one line per entry in order, 64 hexadecimal digits, then ` withheld` for a withheld one.
 * The list lets a check name the changed entry, and stand in for entries that may not be given.
 */

import { bytesOfHex, hexOf } from './bytes.js';
import { HASH_BYTES } from './hash.js';

export class LeafListError extends Error {
  override readonly name = 'LeafListError';
}

export class LeafList {
  /** Leaf hashes one after the other: a million in 32 MB. */
  private hashes = new Uint8Array(64 * HASH_BYTES);
  private readonly missing = new Set<number>();
  private count = 0;

  get size(): number {
    return this.count;
  }

  get withheldCount(): number {
    return this.missing.size;
  }

  push(hash: Uint8Array, withheld = false): void {
    const begin = this.count * HASH_BYTES;
    if (begin === this.hashes.length) {
      const room = new Uint8Array(2 * begin);
      room.set(this.hashes);
      this.hashes = room;
    }
    this.hashes.set(hash, begin);
    if (withheld) this.missing.add(this.count);
    this.count += 1;
  }

  /** @returns undefined past the end */
  at(seq: number): Uint8Array | undefined {
    if (seq < 0 || seq >= this.count) return undefined;
    return this.hashes.subarray(seq * HASH_BYTES, (seq + 1) * HASH_BYTES);
  }

  isWithheld(seq: number): boolean {
    return this.missing.has(seq);
  }
}

export function leafListLine(hash: Uint8Array, withheld: boolean): string {
  return `${hexOf(hash)}${withheld ? ' withheld' : ''}\n`;
}

/** @throws LeafListError naming the line */
export function parseLeafList(text: string): LeafList {
  const list = new LeafList();
  if (text === '') return list;
  if (!text.endsWith('\n')) throw new LeafListError('the last line is cut off');
  for (const line of text.slice(0, -1).split('\n')) {
    const hash = bytesOfHex(line.slice(0, 2 * HASH_BYTES));
    const rest = line.slice(2 * HASH_BYTES);
    if (hash?.length !== HASH_BYTES || (rest !== '' && rest !== ' withheld')) {
      throw new LeafListError(`line ${list.size + 1} is no leaf hash`);
    }
    list.push(hash, rest !== '');
  }
  return list;
}
