/**
 * Moves all points of a draft at once to where the evidence wants them, leads smooth, also through junctions.
 *
 * Energy: sum of w (n·(p - p0) - d)² over points with an offset d along the normal n, plus the squared second
 * differences along every lead, plus the same across a junction for two leads that run through it. A branch ends with
 * the second difference that reaches into its node, so its node is where its own line meets the lead running through.
 * Second differences are re-weighted (a sharp bend costs as little as a moderate one), which keeps corners.
 * Conjugate gradients on the normal equations, preconditioned by each lead's own band matrix; x and y meet only through
 * n, so both are solved together.
 */
import { type Draft, pointOf } from './draft.js';
import { LeadBands, solveBoth } from './lead-bands.js';

export interface PointTargets {
  /** Wanted shift along the normal, mm, one per point of the draft (nodes unused). */
  readonly offsetMm: Float64Array;
  /** Weight of each, 0 for none; 1 is one good measurement per millimetre. */
  readonly weight: Float64Array;
}

export interface SettleOptions {
  /** Stiffness: the smoothing reaches about its fourth root in points. */
  readonly stiffness: number;
  /** Second difference (mm at 1 mm spacing) above which a bend is taken as a corner. */
  readonly cornerMm: number;
  readonly rounds: number;
  /** How strongly points are held where they are along their lead; needed where an end is free, which would shrink. */
  readonly alongWeight?: number;
}

/** Two leads that run through a node as one: the points beside the node on either side. */
export interface Through {
  readonly node: number;
  readonly a: number;
  readonly b: number;
}

const MAX_STEPS = 400;

export function settle(
  draft: Draft,
  targets: PointTargets,
  through: readonly Through[],
  options: SettleOptions,
): void {
  const n = draft.xy.length / 2;
  const start = draft.xy.slice();
  const { nx, ny } = normals(draft);
  // triples (a, m, b) of consecutive points, m in the middle
  const inner = draft.leads.reduce((sum, lead) => sum + lead.count, 0);
  const count = inner + through.length;
  const triples = new Int32Array(3 * count);
  let filled = 0;
  for (const lead of draft.leads) {
    for (let k = 1; k <= lead.count; k++) {
      triples[filled++] = pointOf(lead, k - 1);
      triples[filled++] = pointOf(lead, k);
      triples[filled++] = pointOf(lead, k + 1);
    }
  }
  for (const t of through) triples.set([t.a, t.node, t.b], (filled += 3) - 3);
  const stiff = new Float64Array(count).fill(options.stiffness);
  const x = draft.xy;
  const weight = targets.weight;
  const along = options.alongWeight ?? 0;
  const anchor = 1e-4; // keeps stretches without evidence where they are, along and across

  const ends = Int32Array.from(
    draft.leads.flatMap(({ from, to, first, count }) => [from, to, first, count]),
  );
  const apply = (v: Float64Array, out: Float64Array): void => {
    for (let i = 0; i < 2 * draft.nodeCount; i++) out[i] = anchor * v[i]!;
    let t = 0;
    for (let e = 0; e < ends.length; e += 4) {
      const from = 2 * ends[e]!;
      const to = 2 * ends[e + 1]!;
      const first = ends[e + 2]!;
      const last = first + ends[e + 3]! - 1;
      // points before, at and after; and what the second difference at the point before pulls with
      let ax = v[from]!;
      let ay = v[from + 1]!;
      let mx = v[2 * first]!;
      let my = v[2 * first + 1]!;
      let pullX = 0;
      let pullY = 0;
      for (let i = first; i <= last; i++, t++) {
        const after = i === last ? to : 2 * i + 2;
        const bx = v[after]!;
        const by = v[after + 1]!;
        const s = stiff[t]!;
        const dx = s * (ax - 2 * mx + bx);
        const dy = s * (ay - 2 * my + by);
        const across = weight[i]! * (nx[i]! * mx + ny[i]! * my);
        const ahead = along * (nx[i]! * my - ny[i]! * mx);
        const x = across * nx[i]! - ahead * ny[i]! + anchor * mx;
        const y = across * ny[i]! + ahead * nx[i]! + anchor * my;
        out[2 * i] = x + pullX - 2 * dx;
        out[2 * i + 1] = y + pullY - 2 * dy;
        const before = i === first ? from : 2 * i - 2;
        out[before]! += dx;
        out[before + 1]! += dy;
        pullX = dx;
        pullY = dy;
        ax = mx;
        ay = my;
        mx = bx;
        my = by;
      }
      out[to]! += pullX;
      out[to + 1]! += pullY;
    }
    for (let t = inner; t < count; t++) {
      const a = 2 * triples[3 * t]!;
      const m = 2 * triples[3 * t + 1]!;
      const b = 2 * triples[3 * t + 2]!;
      const s = stiff[t]!;
      const dx = s * (v[a]! - 2 * v[m]! + v[b]!);
      const dy = s * (v[a + 1]! - 2 * v[m + 1]! + v[b + 1]!);
      out[a]! += dx;
      out[m]! -= 2 * dx;
      out[b]! += dx;
      out[a + 1]! += dy;
      out[m + 1]! -= 2 * dy;
      out[b + 1]! += dy;
    }
  };

  const r = new Float64Array(2 * n);
  const z = new Float64Array(2 * n);
  const p = new Float64Array(2 * n);
  const q = new Float64Array(2 * n);
  const bands = [new LeadBands(draft), new LeadBands(draft)];
  let enough = 0; // a three-thousandth of the first step's size: some microns
  for (let round = 0; round < options.rounds; round++) {
    if (round > 0) {
      for (let t = 0; t < count; t++) {
        const a = 2 * triples[3 * t]!;
        const m = 2 * triples[3 * t + 1]!;
        const b = 2 * triples[3 * t + 2]!;
        const d = Math.hypot(x[a]! - 2 * x[m]! + x[b]!, x[a + 1]! - 2 * x[m + 1]! + x[b + 1]!);
        stiff[t] = options.stiffness / (1 + (d / options.cornerMm) ** 2);
      }
    }
    for (let c = 0; c < 2; c++) {
      bands[c]!.reset(anchor);
      const across = c === 0 ? nx : ny;
      const alongThis = c === 0 ? ny : nx;
      for (let i = 0; i < n; i++) {
        bands[c]!.diagonal[i]! += weight[i]! * across[i]! ** 2 + along * alongThis[i]! ** 2;
      }
      for (let t = 0; t < count; t++) {
        bands[c]!.addTriple(triples[3 * t]!, triples[3 * t + 1]!, triples[3 * t + 2]!, stiff[t]!);
      }
      bands[c]!.factor();
    }
    // residual of the normal equations at the present x
    apply(x, q);
    let rz = 0;
    for (let i = 0; i < n; i++) {
      const at = nx[i]! * start[2 * i]! + ny[i]! * start[2 * i + 1]! + targets.offsetMm[i]!;
      const c = weight[i]! * at;
      const t = along * (nx[i]! * start[2 * i + 1]! - ny[i]! * start[2 * i]!);
      r[2 * i] = c * nx[i]! - t * ny[i]! + anchor * start[2 * i]! - q[2 * i]!;
      r[2 * i + 1] = c * ny[i]! + t * nx[i]! + anchor * start[2 * i + 1]! - q[2 * i + 1]!;
    }
    solveBoth(bands[0]!, bands[1]!, r, z);
    for (let i = 0; i < 2 * n; i++) {
      p[i] = z[i]!;
      rz += r[i]! * z[i]!;
    }
    if (round === 0) enough = 1e-7 * rz;
    descend(x, { r, z, p, q }, rz, enough, apply, () => {
      solveBoth(bands[0]!, bands[1]!, r, z);
    });
  }
}

/** Conjugate gradients from the first step's direction p until the residual's size r·z is `enough`. Moves `x`. */
function descend(
  x: Float64Array,
  { r, z, p, q }: Record<'r' | 'z' | 'p' | 'q', Float64Array>,
  rzAtFirst: number,
  enough: number,
  apply: (v: Float64Array, out: Float64Array) => void,
  precondition: () => void,
): void {
  let rz = rzAtFirst;
  for (let step = 0; step < MAX_STEPS && rz > enough; step++) {
    apply(p, q);
    const alpha = rz / dot(p, q);
    for (let i = 0; i < x.length; i++) {
      x[i]! += alpha * p[i]!;
      r[i]! -= alpha * q[i]!;
    }
    precondition();
    const next = dot(r, z);
    const beta = next / rz;
    rz = next;
    for (let i = 0; i < x.length; i++) p[i] = z[i]! + beta * p[i]!;
  }
}

function dot(a: Float64Array, b: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += a[i]! * b[i]!;
  return sum;
}

/** Unit normals at every point, to the left of travel with y down turned so that (nx, ny) = (ty, -tx); zero at nodes. */
export function normals(draft: Draft): { nx: Float64Array; ny: Float64Array } {
  const n = draft.xy.length / 2;
  const nx = new Float64Array(n);
  const ny = new Float64Array(n);
  for (const lead of draft.leads) {
    for (let k = 1; k <= lead.count; k++) {
      const a = pointOf(lead, k - 1);
      const b = pointOf(lead, k + 1);
      const m = pointOf(lead, k);
      const dx = draft.xy[2 * b]! - draft.xy[2 * a]!;
      const dy = draft.xy[2 * b + 1]! - draft.xy[2 * a + 1]!;
      const length = Math.max(1e-9, Math.hypot(dx, dy));
      nx[m] = dy / length;
      ny[m] = -dx / length;
    }
  }
  return { nx, ny };
}
