/**
 * Each lead's own part of the settling matrix, solved without iterating: its points couple two neighbours away, so the
 * stretch between its first and its last point is a band, which is factored (L Lᵀ) and leaves a small matrix between
 * the lead's ends. Points are counted from 0, the lead's first node, to count + 1, its last.
 */
import type { Draft } from './draft.js';
import { SIDE } from './settling-ends.js';

/** Entries of a row of the band: itself and the four before it (x and y of the two points before). */
const BAND = 5;
/** Columns that couple the stretch with the ends it begins at: x and y of the first node and the first point. */
const HEAD = 4;
/** Rows that couple with the ends it stops at: x and y of its last two points. */
const TAIL = 4;

export class LeadElimination {
  /** Per lead the matrix between its ends, SIDE × SIDE. */
  readonly own: Float64Array;
  /** Per lead the number of scalars in its stretch, and where they begin. */
  private readonly size: Int32Array;
  private readonly start: Int32Array;
  private readonly count: Int32Array;
  private readonly band: Float64Array;
  private readonly head: Float64Array;
  private readonly tail: Float64Array;
  private readonly y: Float64Array;

  constructor(draft: Draft) {
    const leads = draft.leads;
    this.count = Int32Array.from(leads, (lead) => lead.count);
    this.size = this.count.map((count) => 2 * Math.max(0, count - 2));
    this.start = new Int32Array(leads.length);
    let total = 0;
    this.size.forEach((size, l) => {
      this.start[l] = total;
      total += size;
    });
    this.own = new Float64Array(SIDE * SIDE * leads.length);
    this.band = new Float64Array(BAND * total);
    this.head = new Float64Array(HEAD * total);
    this.tail = new Float64Array(TAIL * TAIL * leads.length);
    this.y = new Float64Array(total);
  }

  reset(): void {
    for (const values of [this.own, this.band, this.head, this.tail]) values.fill(0);
  }

  /** Adds the symmetric 2 × 2 part of point k. */
  addPoint(l: number, k: number, xx: number, xy: number, yy: number): void {
    const slot = this.slotOf(l, k);
    if (slot >= 0) {
      const i = (l * SIDE + 2 * slot) * SIDE + 2 * slot;
      this.own[i]! += xx;
      this.own[i + 1]! += xy;
      this.own[i + SIDE]! += xy;
      this.own[i + SIDE + 1]! += yy;
      return;
    }
    const u = (this.start[l]! + 2 * (k - 2)) * BAND;
    this.band[u]! += xx;
    this.band[u + BAND]! += yy;
    this.band[u + BAND + 1]! += xy;
  }

  /** Adds s · d dᵀ for the second difference d = (1, -2, 1) at point k, for x and for y. */
  addBend(l: number, k: number, s: number): void {
    if (k >= 3 && k <= this.count[l]! - 2) {
      const { band } = this;
      for (let c = 0; c < 2; c++) {
        const u = (this.start[l]! + 2 * (k - 2) + c) * BAND;
        band[u - 2 * BAND]! += s;
        band[u]! += 4 * s;
        band[u + 2 * BAND]! += s;
        band[u + 2]! -= 2 * s;
        band[u + 2 * BAND + 2]! -= 2 * s;
        band[u + 2 * BAND + 4]! += s;
      }
      return;
    }
    for (let i = -1; i <= 1; i++) {
      for (let j = -1; j <= 1; j++) {
        this.couple(l, k + i, k + j, s * (i === 0 ? -2 : 1) * (j === 0 ? -2 : 1));
      }
    }
  }

  /** Both orders of two points are added one after the other; the band and the couplings keep one. */
  private couple(l: number, k: number, j: number, value: number): void {
    const slot = this.slotOf(l, k);
    const other = this.slotOf(l, j);
    for (let c = 0; c < 2; c++) {
      if (slot >= 0 && other >= 0) {
        this.own[(l * SIDE + 2 * slot + c) * SIDE + 2 * other + c]! += value;
      } else if (slot < 0 && other < 0) {
        if (j > k) continue;
        this.band[(this.start[l]! + 2 * (k - 2) + c) * BAND + 2 * (k - j)]! += value;
      } else if (slot < 0) {
        const u = 2 * (k - 2) + c;
        if (other < 2) this.head[(this.start[l]! + u) * HEAD + 2 * other + c]! += value;
        else {
          const row = u - this.size[l]! + TAIL;
          this.tail[(l * TAIL + row) * TAIL + 2 * (other - 2) + c]! += value;
        }
      }
    }
  }

  /** Slot of point k among the ends; -1 within the stretch. */
  private slotOf(l: number, k: number): number {
    const count = this.count[l]!;
    if (k <= 1) return k;
    return k > count ? 3 : k === count ? 2 : -1;
  }

  /**
   * Factors every stretch and takes it out of `own` and of the right side.
   * @param r right side of the draft's points, x and y in turn
   * @param firstPoint per lead
   * @param ends right side of the lead's slots, SIDE a lead; what the stretch pulls with is taken off
   */
  eliminate(r: Float64Array, firstPoint: (l: number) => number, ends: Float64Array): void {
    for (let l = 0; l < this.size.length; l++) {
      const size = this.size[l]!;
      if (size === 0) continue;
      const at = 2 * (firstPoint(l) + 1);
      const start = this.start[l]!;
      for (let u = 0; u < size; u++) this.y[start + u] = r[at + u]!;
      this.forward(start, size);
      this.forwardTail(l);
      this.fold(l, ends);
    }
  }

  /** L of the band in place (the diagonal as its inverse), and L⁻¹ of the head's columns and of the right side. */
  private forward(start: number, size: number): void {
    const { band, head, y } = this;
    for (let u = 0; u < size; u++) {
      const row = (start + u) * BAND;
      let l1 = 0;
      let l2 = 0;
      let l3 = 0;
      let l4 = 0;
      if (u > 3) {
        l4 = band[row + 4]! * band[row - 4 * BAND]!;
      }
      if (u > 2) {
        const b = row - 3 * BAND;
        l3 = (band[row + 3]! - l4 * band[b + 1]!) * band[b]!;
      }
      if (u > 1) {
        const b = row - 2 * BAND;
        l2 = (band[row + 2]! - l4 * band[b + 2]! - l3 * band[b + 1]!) * band[b]!;
      }
      if (u > 0) {
        const b = row - BAND;
        l1 =
          (band[row + 1]! - l4 * band[b + 3]! - l3 * band[b + 2]! - l2 * band[b + 1]!) * band[b]!;
      }
      const inverse = 1 / Math.sqrt(band[row]! - l1 * l1 - l2 * l2 - l3 * l3 - l4 * l4);
      band[row] = inverse;
      band[row + 1] = l1;
      band[row + 2] = l2;
      band[row + 3] = l3;
      band[row + 4] = l4;
      const h = (start + u) * HEAD;
      for (let c = 0; c < HEAD; c++) {
        let v = head[h + c]!;
        if (u > 0) v -= l1 * head[h + c - HEAD]!;
        if (u > 1) v -= l2 * head[h + c - 2 * HEAD]!;
        if (u > 2) v -= l3 * head[h + c - 3 * HEAD]!;
        if (u > 3) v -= l4 * head[h + c - 4 * HEAD]!;
        head[h + c] = v * inverse;
      }
      let v = y[start + u]!;
      if (u > 0) v -= l1 * y[start + u - 1]!;
      if (u > 1) v -= l2 * y[start + u - 2]!;
      if (u > 2) v -= l3 * y[start + u - 3]!;
      if (u > 3) v -= l4 * y[start + u - 4]!;
      y[start + u] = v * inverse;
    }
  }

  private forwardTail(l: number): void {
    const { band, tail } = this;
    const size = this.size[l]!;
    for (let row = Math.max(0, TAIL - size); row < TAIL; row++) {
      const at = (this.start[l]! + size - TAIL + row) * BAND;
      for (let c = 0; c < TAIL; c++) {
        const i = (l * TAIL + row) * TAIL + c;
        let v = tail[i]!;
        for (let d = 1; d <= row; d++) v -= band[at + d]! * tail[i - d * TAIL]!;
        tail[i] = v * band[at]!;
      }
    }
  }

  private fold(l: number, ends: Float64Array): void {
    const { head, tail, y, own } = this;
    const size = this.size[l]!;
    const start = this.start[l]!;
    const part = l * SIDE * SIDE;
    const sums = new Float64Array(HEAD * HEAD);
    const pulls = new Float64Array(HEAD);
    for (let u = 0; u < size; u++) {
      const h = (start + u) * HEAD;
      const v = y[start + u]!;
      for (let a = 0; a < HEAD; a++) {
        const w = head[h + a]!;
        pulls[a]! += w * v;
        for (let b = 0; b <= a; b++) sums[a * HEAD + b]! += w * head[h + b]!;
      }
    }
    for (let a = 0; a < HEAD; a++) {
      ends[l * SIDE + a]! -= pulls[a]!;
      for (let b = 0; b <= a; b++) {
        own[part + a * SIDE + b]! -= sums[a * HEAD + b]!;
        if (b < a) own[part + b * SIDE + a]! -= sums[a * HEAD + b]!;
      }
    }
    for (let row = Math.max(0, TAIL - size); row < TAIL; row++) {
      const u = size - TAIL + row;
      const h = (start + u) * HEAD;
      const t = (l * TAIL + row) * TAIL;
      for (let a = 0; a < TAIL; a++) {
        const w = tail[t + a]!;
        if (w === 0) continue;
        ends[l * SIDE + HEAD + a]! -= w * y[start + u]!;
        for (let b = 0; b < TAIL; b++)
          own[part + (HEAD + a) * SIDE + HEAD + b]! -= w * tail[t + b]!;
        for (let b = 0; b < HEAD; b++) {
          own[part + (HEAD + a) * SIDE + b]! -= w * head[h + b]!;
          own[part + b * SIDE + HEAD + a]! -= w * head[h + b]!;
        }
      }
    }
  }

  /**
   * Moves the points of every stretch to where its ends and its right side have them.
   * @param x the draft's points, x and y in turn; the solution is added
   * @param ends the solution at the lead's slots, SIDE a lead
   */
  substitute(x: Float64Array, firstPoint: (l: number) => number, ends: Float64Array): void {
    const { band, head, tail, y } = this;
    for (let l = 0; l < this.size.length; l++) {
      const size = this.size[l]!;
      if (size === 0) continue;
      const start = this.start[l]!;
      const at = 2 * (firstPoint(l) + 1);
      for (let u = size - 1; u >= 0; u--) {
        const row = (start + u) * BAND;
        let v = y[start + u]!;
        for (let c = 0; c < HEAD; c++) v -= head[(start + u) * HEAD + c]! * ends[l * SIDE + c]!;
        const r = u - size + TAIL;
        if (r >= 0) {
          for (let c = 0; c < TAIL; c++) {
            v -= tail[(l * TAIL + r) * TAIL + c]! * ends[l * SIDE + HEAD + c]!;
          }
        }
        for (let d = 1; d < BAND && u + d < size; d++)
          v -= band[row + d * BAND + d]! * y[start + u + d]!;
        y[start + u] = v * band[row]!;
        x[at + u]! += y[start + u]!;
      }
    }
  }
}
