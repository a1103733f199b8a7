/**
 * Each lead's own part of the settling matrix, for one coordinate: its inner points couple two neighbours away, so the
 * part is a band of five diagonals and is factored in O(points). Nodes count by their diagonal alone. Used as the
 * preconditioner: what is left for the conjugate gradients are the nodes and x against y.
 */
import type { Draft } from './draft.js';

export class LeadBands {
  /** Per point of the draft. */
  readonly diagonal: Float64Array;
  /** Coupling of point i with i + 1 and i + 2, within one lead. */
  private readonly next: Float64Array;
  private readonly second: Float64Array;
  private readonly first: Int32Array; // first and last inner point of each lead
  private readonly last: Int32Array;
  private readonly nodeCount: number;
  private readonly leadOf: Int32Array;

  constructor(draft: Draft) {
    const n = draft.xy.length / 2;
    this.diagonal = new Float64Array(n);
    this.next = new Float64Array(n);
    this.second = new Float64Array(n);
    this.first = Int32Array.from(draft.leads, (lead) => lead.first);
    this.last = Int32Array.from(draft.leads, (lead) => lead.first + lead.count - 1);
    this.nodeCount = draft.nodeCount;
    this.leadOf = new Int32Array(n).fill(-1);
    draft.leads.forEach((lead, k) => this.leadOf.fill(k, lead.first, lead.first + lead.count));
  }

  reset(diagonal: number): void {
    this.diagonal.fill(diagonal);
    this.next.fill(0);
    this.second.fill(0);
  }

  /** Adds s · d dᵀ for the second difference d = (1, -2, 1) of points a, m, b. */
  addTriple(a: number, m: number, b: number, s: number): void {
    this.diagonal[a]! += s;
    this.diagonal[m]! += 4 * s;
    this.diagonal[b]! += s;
    this.couple(a, m, -2 * s);
    this.couple(m, b, -2 * s);
    this.couple(a, b, s);
  }

  private couple(a: number, b: number, s: number): void {
    const lead = this.leadOf[a]!;
    if (lead < 0 || lead !== this.leadOf[b]) return;
    const low = Math.min(a, b);
    if (Math.abs(a - b) === 1) this.next[low]! += s;
    else if (Math.abs(a - b) === 2) this.second[low]! += s;
  }

  /** L D Lᵀ in place: `diagonal` becomes D, `next` and `second` the two bands of L. */
  factor(): void {
    const { diagonal: d, next, second } = this;
    for (let k = 0; k < this.first.length; k++) {
      const from = this.first[k]!;
      const to = this.last[k]!;
      for (let i = from; i <= to; i++) {
        if (i > from) d[i]! -= next[i - 1]! ** 2 * d[i - 1]!;
        if (i > from + 1) d[i]! -= second[i - 2]! ** 2 * d[i - 2]!;
        if (i > from) next[i]! -= second[i - 1]! * next[i - 1]! * d[i - 1]!;
        next[i]! /= d[i]!;
        second[i]! /= d[i]!;
      }
    }
  }

  /** Solves for one coordinate of interleaved vectors: z[2 i + c] from r[2 i + c]. */
  solve(r: Float64Array, z: Float64Array, c: number): void {
    const { diagonal: d, next, second } = this;
    for (let i = 0; i < this.nodeCount; i++) z[2 * i + c] = r[2 * i + c]! / d[i]!;
    for (let k = 0; k < this.first.length; k++) {
      const from = this.first[k]!;
      const to = this.last[k]!;
      for (let i = from; i <= to; i++) {
        let v = r[2 * i + c]!;
        if (i > from) v -= next[i - 1]! * z[2 * i - 2 + c]!;
        if (i > from + 1) v -= second[i - 2]! * z[2 * i - 4 + c]!;
        z[2 * i + c] = v;
      }
      for (let i = to; i >= from; i--) {
        let v = z[2 * i + c]! / d[i]!;
        if (i < to) v -= next[i]! * z[2 * i + 2 + c]!;
        if (i + 1 < to) v -= second[i]! * z[2 * i + 4 + c]!;
        z[2 * i + c] = v;
      }
    }
  }
}
