/**
 * Nearest points in the plane: a k-d tree in one permutation, built by sorting (O(n log² n)), exact answers.
 * Flatbush answers the same, but its queue made a million queries in Jest take minutes.
 */
import type { Xy } from './score-math.js';

export class PointTree {
  readonly #x: Float64Array;
  readonly #y: Float64Array;
  readonly #order: Uint32Array;
  // The best found so far by one query, nearest first.
  readonly #bestD: Float64Array;
  readonly #bestI: Int32Array;
  #count = 0;
  #k = 1;

  /** @param most largest number of neighbours that will be asked for. */
  constructor(points: readonly Xy[], most = 1) {
    const n = points.length;
    const x = (this.#x = Float64Array.from(points, (p) => p[0]));
    const y = (this.#y = Float64Array.from(points, (p) => p[1]));
    const order = (this.#order = Uint32Array.from({ length: n }, (_, i) => i));
    this.#bestD = new Float64Array(most);
    this.#bestI = new Int32Array(most);
    const build = (from: number, to: number, byX: boolean): void => {
      if (to - from < 2) return;
      const key = byX ? x : y;
      order.subarray(from, to).sort((a, b) => key[a]! - key[b]!);
      const middle = (from + to) >> 1;
      build(from, middle, !byX);
      build(middle + 1, to, !byX);
    };
    build(0, n, true);
  }

  /** Indices of the k nearest points, nearest first. */
  nearest(x: number, y: number, k: number): number[] {
    this.#search(x, y, k);
    return Array.from(this.#bestI.subarray(0, this.#count));
  }

  /** Index of the nearest point, -1 in an empty tree. */
  nearestOne(x: number, y: number): number {
    this.#search(x, y, 1);
    return this.#count > 0 ? this.#bestI[0]! : -1;
  }

  #search(x: number, y: number, k: number): void {
    this.#k = k;
    this.#count = 0;
    this.#visit(x, y, 0, this.#order.length, true);
  }

  #visit(x: number, y: number, from: number, to: number, byX: boolean): void {
    if (from >= to) return;
    const middle = (from + to) >> 1;
    const i = this.#order[middle]!;
    const dx = x - this.#x[i]!;
    const dy = y - this.#y[i]!;
    this.#offer(i, dx * dx + dy * dy);
    const side = byX ? dx : dy;
    if (side < 0) this.#visit(x, y, from, middle, !byX);
    else this.#visit(x, y, middle + 1, to, !byX);
    if (this.#count === this.#k && side * side > this.#bestD[this.#count - 1]!) return;
    if (side < 0) this.#visit(x, y, middle + 1, to, !byX);
    else this.#visit(x, y, from, middle, !byX);
  }

  #offer(i: number, d: number): void {
    const d0 = this.#bestD;
    const i0 = this.#bestI;
    if (this.#count === this.#k && d >= d0[this.#count - 1]!) return;
    let at = this.#count < this.#k ? this.#count++ : this.#count - 1;
    while (at > 0 && d0[at - 1]! > d) {
      d0[at] = d0[at - 1]!;
      i0[at] = i0[at - 1]!;
      at--;
    }
    d0[at] = d;
    i0[at] = i;
  }
}
