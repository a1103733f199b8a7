/**
 * The small part of a settling matrix: what is left of it once the inner stretch of every lead is eliminated. Its
 * places are the nodes and the first and last point of every lead, x and y of each. A node and the points beside it
 * make up one block, which is solved exactly; conjugate gradients do what is left from block to block, which is little.
 */
import type { Draft } from './draft.js';

/** Slots of a lead's own part: its first node, its first point, its last point, its last node; x and y of each. */
export const SLOTS = 4;
export const SIDE = 2 * SLOTS;

const MAX_STEPS = 200;
/** Share of the first solution's size (r·z) at which to stop: nanometres. */
const ENOUGH = 1e-12;

/** Three places with a second difference between them, stiffness apart. */
export interface Spring {
  readonly a: number;
  readonly m: number;
  readonly b: number;
}

export class SettlingEnds {
  readonly count: number;
  /** Place of each slot of each lead, -1 where a lead of one point has no last one. */
  readonly placeOf: Int32Array;
  /** Place of a point of the draft, -1 within a lead. */
  private readonly placeOfPoint: Int32Array;
  /** Place of node k; the places of its block follow. */
  private readonly firstOfNode: Int32Array;
  private readonly blockOf: Int32Array;
  private enough: number | undefined;

  constructor(draft: Draft) {
    const leads = draft.leads;
    const degree = new Int32Array(draft.nodeCount);
    for (const { from, to, count } of leads) {
      degree[from]!++;
      if (count > 1) degree[to]!++;
    }
    this.firstOfNode = new Int32Array(draft.nodeCount + 1);
    for (let k = 0; k < draft.nodeCount; k++) {
      this.firstOfNode[k + 1] = this.firstOfNode[k]! + 1 + degree[k]!;
    }
    this.count = this.firstOfNode[draft.nodeCount]!;
    this.blockOf = new Int32Array(this.count);
    for (let k = 0; k < draft.nodeCount; k++) {
      this.blockOf.fill(k, this.firstOfNode[k], this.firstOfNode[k + 1]);
    }
    this.placeOf = new Int32Array(SLOTS * leads.length).fill(-1);
    this.placeOfPoint = new Int32Array(draft.xy.length / 2).fill(-1);
    const next = this.firstOfNode.slice();
    leads.forEach(({ from, to, first, count }, l) => {
      const own = [this.firstOfNode[from]!, ++next[from]!, -1, this.firstOfNode[to]!];
      if (count > 1) own[2] = ++next[to]!;
      this.placeOf.set(own, SLOTS * l);
      this.placeOfPoint[first] = own[1]!;
      if (count > 1) this.placeOfPoint[first + count - 1] = own[2]!;
    });
    for (let k = 0; k < draft.nodeCount; k++) this.placeOfPoint[k] = this.firstOfNode[k]!;
  }

  /** A spring between points of the draft that all are places. */
  springOf(a: number, m: number, b: number): Spring {
    const at = [a, m, b].map((point) => this.placeOfPoint[point]!);
    if (at.some((place) => place < 0)) throw new Error('a spring within a lead');
    return { a: at[0]!, m: at[1]!, b: at[2]! };
  }

  /**
   * The right side of the places.
   * @param r of the draft's points, x and y in turn
   * @param own what the stretches add at each lead's slots, SIDE a lead
   */
  gather({ xy }: Draft, r: Float64Array, own: Float64Array): Float64Array {
    const out = new Float64Array(2 * this.count);
    for (let point = 0; 2 * point < xy.length; point++) {
      const place = this.placeOfPoint[point]!;
      if (place < 0) continue;
      out[2 * place] = r[2 * point]!;
      out[2 * place + 1] = r[2 * point + 1]!;
    }
    this.placeOf.forEach((place, at) => {
      if (place < 0) return;
      out[2 * place]! += own[2 * at]!;
      out[2 * place + 1]! += own[2 * at + 1]!;
    });
    return out;
  }

  /** Adds the solution to the draft's points and writes it into each lead's slots. */
  scatter({ xy }: Draft, solution: Float64Array, x: Float64Array, own: Float64Array): void {
    for (let point = 0; 2 * point < xy.length; point++) {
      const place = this.placeOfPoint[point]!;
      if (place < 0) continue;
      x[2 * point]! += solution[2 * place]!;
      x[2 * point + 1]! += solution[2 * place + 1]!;
    }
    this.placeOf.forEach((place, at) => {
      own[2 * at] = place < 0 ? 0 : solution[2 * place]!;
      own[2 * at + 1] = place < 0 ? 0 : solution[2 * place + 1]!;
    });
  }

  /**
   * @param own per lead its part, SIDE × SIDE, symmetric
   * @param stiff per spring
   * @param anchor what holds every node where it is
   * @param wanted right side, x and y of each place in turn
   * @returns the solution; the first decides how exact the next ones are
   */
  solve(
    own: Float64Array,
    springs: readonly Spring[],
    stiff: Float64Array,
    anchor: number,
    wanted: Float64Array,
  ): Float64Array {
    const n = 2 * this.count;
    const blocks = new EndBlocks(this.firstOfNode, this.blockOf);
    this.eachEntry(own, springs, stiff, anchor, (i, j, value) => {
      blocks.add(i, j, value);
    });
    blocks.factor();
    const x = new Float64Array(n);
    const r = wanted.slice();
    const z = new Float64Array(n);
    const q = new Float64Array(n);
    blocks.solve(r, z);
    const p = z.slice();
    let rz = dot(r, z);
    this.enough ??= ENOUGH * rz;
    for (let step = 0; step < MAX_STEPS && rz > this.enough; step++) {
      this.apply(own, springs, stiff, anchor, p, q);
      const alpha = rz / dot(p, q);
      for (let i = 0; i < n; i++) {
        x[i]! += alpha * p[i]!;
        r[i]! -= alpha * q[i]!;
      }
      blocks.solve(r, z);
      const now = dot(r, z);
      const beta = now / rz;
      rz = now;
      for (let i = 0; i < n; i++) p[i] = z[i]! + beta * p[i]!;
    }
    return x;
  }

  private eachEntry(
    own: Float64Array,
    springs: readonly Spring[],
    stiff: Float64Array,
    anchor: number,
    add: (i: number, j: number, value: number) => void,
  ): void {
    for (let l = 0; l < this.placeOf.length; l += SLOTS) {
      const part = (l / SLOTS) * SIDE * SIDE;
      for (let s = 0; s < SIDE; s++) {
        const i = this.placeOf[l + (s >> 1)]!;
        if (i < 0) continue;
        for (let t = 0; t < SIDE; t++) {
          const j = this.placeOf[l + (t >> 1)]!;
          if (j >= 0) add(2 * i + (s & 1), 2 * j + (t & 1), own[part + s * SIDE + t]!);
        }
      }
    }
    springs.forEach(({ a, m, b }, k) => {
      const of = [a, m, b] as const;
      const pull = [1, -2, 1] as const;
      for (let s = 0; s < 3; s++) {
        for (let t = 0; t < 3; t++) {
          const value = stiff[k]! * pull[s]! * pull[t]!;
          for (const c of [0, 1]) add(2 * of[s]! + c, 2 * of[t]! + c, value);
        }
      }
    });
    for (const place of this.firstOfNode.subarray(0, -1)) {
      for (const c of [0, 1]) add(2 * place + c, 2 * place + c, anchor);
    }
  }

  private apply(
    own: Float64Array,
    springs: readonly Spring[],
    stiff: Float64Array,
    anchor: number,
    v: Float64Array,
    out: Float64Array,
  ): void {
    out.fill(0);
    const at = new Float64Array(SIDE);
    const { placeOf, firstOfNode } = this;
    for (let l = 0; l < placeOf.length; l += SLOTS) {
      for (let s = 0; s < SLOTS; s++) {
        const place = placeOf[l + s]!;
        at[2 * s] = place < 0 ? 0 : v[2 * place]!;
        at[2 * s + 1] = place < 0 ? 0 : v[2 * place + 1]!;
      }
      let k = (l / SLOTS) * SIDE * SIDE;
      for (let s = 0; s < SIDE; s++) {
        let sum = 0;
        for (let t = 0; t < SIDE; t++) sum += own[k++]! * at[t]!;
        const place = placeOf[l + (s >> 1)]!;
        if (place >= 0) out[2 * place + (s & 1)]! += sum;
      }
    }
    for (let k = 0; k < springs.length; k++) {
      const { a, m, b } = springs[k]!;
      for (let c = 0; c < 2; c++) {
        const d = stiff[k]! * (v[2 * a + c]! - 2 * v[2 * m + c]! + v[2 * b + c]!);
        out[2 * a + c]! += d;
        out[2 * m + c]! -= 2 * d;
        out[2 * b + c]! += d;
      }
    }
    for (let k = 0; k + 1 < firstOfNode.length; k++) {
      const i = 2 * firstOfNode[k]!;
      out[i]! += anchor * v[i]!;
      out[i + 1]! += anchor * v[i + 1]!;
    }
  }
}

/** The blocks on the diagonal, each factored as L Lᵀ. */
class EndBlocks {
  private readonly first: Int32Array;
  private readonly startOf: Int32Array;
  private readonly data: Float64Array;

  constructor(
    firstOfNode: Int32Array,
    private readonly blockOf: Int32Array,
  ) {
    this.first = firstOfNode.map((place) => 2 * place);
    this.startOf = new Int32Array(firstOfNode.length);
    for (let k = 0; k + 1 < this.first.length; k++) {
      this.startOf[k + 1] = this.startOf[k]! + (this.first[k + 1]! - this.first[k]!) ** 2;
    }
    this.data = new Float64Array(this.startOf.at(-1)!);
  }

  add(i: number, j: number, value: number): void {
    const block = this.blockOf[i >> 1]!;
    if (this.blockOf[j >> 1] !== block) return;
    const from = this.first[block]!;
    const side = this.first[block + 1]! - from;
    this.data[this.startOf[block]! + (i - from) * side + j - from]! += value;
  }

  factor(): void {
    const { data } = this;
    for (let block = 0; block + 1 < this.first.length; block++) {
      const side = this.first[block + 1]! - this.first[block]!;
      const start = this.startOf[block]!;
      for (let i = 0; i < side; i++) {
        for (let j = 0; j <= i; j++) {
          let sum = data[start + i * side + j]!;
          for (let k = 0; k < j; k++) {
            sum -= data[start + i * side + k]! * data[start + j * side + k]!;
          }
          data[start + i * side + j] = i === j ? Math.sqrt(sum) : sum / data[start + j * side + j]!;
        }
      }
    }
  }

  solve(r: Float64Array, z: Float64Array): void {
    const { data } = this;
    for (let block = 0; block + 1 < this.first.length; block++) {
      const from = this.first[block]!;
      const side = this.first[block + 1]! - from;
      const start = this.startOf[block]!;
      for (let i = 0; i < side; i++) {
        let sum = r[from + i]!;
        for (let k = 0; k < i; k++) sum -= data[start + i * side + k]! * z[from + k]!;
        z[from + i] = sum / data[start + i * side + i]!;
      }
      for (let i = side - 1; i >= 0; i--) {
        let sum = z[from + i]!;
        for (let k = i + 1; k < side; k++) sum -= data[start + k * side + i]! * z[from + k]!;
        z[from + i] = sum / data[start + i * side + i]!;
      }
    }
  }
}

function dot(a: Float64Array, b: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += a[i]! * b[i]!;
  return sum;
}
