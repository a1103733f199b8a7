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
  readonly next: Float64Array;
  readonly second: Float64Array;
  /** First and last inner point of each lead in turn. */
  readonly spans: Int32Array;
  readonly nodeCount: number;
  private readonly leadOf: Int32Array;

  constructor(draft: Draft) {
    const n = draft.xy.length / 2;
    this.diagonal = new Float64Array(n);
    this.next = new Float64Array(n);
    this.second = new Float64Array(n);
    this.spans = Int32Array.from(
      draft.leads.flatMap(({ first, count }) => [first, first + count - 1]),
    );
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
    for (let k = 0; k < this.spans.length; k += 2) {
      const from = this.spans[k]!;
      const to = this.spans[k + 1]!;
      for (let i = from; i <= to; i++) {
        if (i > from) d[i]! -= next[i - 1]! ** 2 * d[i - 1]!;
        if (i > from + 1) d[i]! -= second[i - 2]! ** 2 * d[i - 2]!;
        if (i > from) next[i]! -= second[i - 1]! * next[i - 1]! * d[i - 1]!;
        next[i]! /= d[i]!;
        second[i]! /= d[i]!;
      }
    }
  }
}

/**
 * Solves for both coordinates of interleaved vectors, z from r. Both in one sweep: each value waits for the one before
 * it, so that two sweeps side by side take the time of one.
 */
export function solveBoth(
  { diagonal: dx, next: nextX, second: secondX, spans, nodeCount }: LeadBands,
  { diagonal: dy, next: nextY, second: secondY }: LeadBands,
  r: Float64Array,
  z: Float64Array,
): void {
  for (let i = 0; i < nodeCount; i++) {
    z[2 * i] = r[2 * i]! / dx[i]!;
    z[2 * i + 1] = r[2 * i + 1]! / dy[i]!;
  }
  for (let k = 0; k < spans.length; k += 2) {
    const from = spans[k]!;
    const to = spans[k + 1]!;
    // the two values before
    let x1 = 0;
    let x2 = 0;
    let y1 = 0;
    let y2 = 0;
    for (let i = from; i <= to; i++) {
      let x = r[2 * i]!;
      let y = r[2 * i + 1]!;
      if (i > from) {
        x -= nextX[i - 1]! * x1;
        y -= nextY[i - 1]! * y1;
      }
      if (i > from + 1) {
        x -= secondX[i - 2]! * x2;
        y -= secondY[i - 2]! * y2;
      }
      x2 = x1;
      y2 = y1;
      z[2 * i] = x1 = x;
      z[2 * i + 1] = y1 = y;
    }
    for (let i = to; i >= from; i--) {
      let x = z[2 * i]! / dx[i]!;
      let y = z[2 * i + 1]! / dy[i]!;
      if (i < to) {
        x -= nextX[i]! * x1;
        y -= nextY[i]! * y1;
      }
      if (i + 1 < to) {
        x -= secondX[i]! * x2;
        y -= secondY[i]! * y2;
      }
      x2 = x1;
      y2 = y1;
      z[2 * i] = x1 = x;
      z[2 * i + 1] = y1 = y;
    }
  }
}
