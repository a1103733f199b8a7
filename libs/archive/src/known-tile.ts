/** One tile's hashes and the roots over parts of them, each computed when it is first asked for. */
import { HASH_BYTES } from '#libs/ledger';
import { hasher } from './hasher.js';

export class KnownTile {
  /** rows[n] holds the roots over 2^n neighbours each, row 0 the hashes themselves */
  readonly #rows: Buffer[];
  readonly #isThere: Uint8Array[] = [];

  /** @param hashes 32 bytes each, from the tile's first on */
  constructor(hashes: Buffer) {
    this.#rows = [hashes];
  }

  get width(): number {
    return this.#rows[0]!.length / HASH_BYTES;
  }

  /**
   * Root over the hashes from `begin` up to `end`, or undefined where the tile does not reach so far.
   * @param begin a multiple of the count, which is 1, 2, 4, …
   */
  root({ begin, end }: { begin: number; end: number }): Uint8Array | undefined {
    if (end > this.width) return undefined;
    const span = end - begin;
    return this.#node(Math.log2(span), begin / span);
  }

  #node(row: number, index: number): Uint8Array {
    if (row > 0) this.#compute(row, index);
    return this.#rows[row]!.subarray(index * HASH_BYTES, (index + 1) * HASH_BYTES);
  }

  #compute(row: number, index: number): void {
    const nodes = Math.floor(this.width / 2 ** row);
    const isThere = (this.#isThere[row] ??= new Uint8Array(nodes));
    if (isThere[index] === 1) return;
    const hashes = (this.#rows[row] ??= Buffer.alloc(nodes * HASH_BYTES));
    const root = hasher.node(this.#node(row - 1, 2 * index), this.#node(row - 1, 2 * index + 1));
    hashes.set(root, index * HASH_BYTES);
    isThere[index] = 1;
  }
}
