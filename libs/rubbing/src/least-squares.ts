/** Non-linear least squares with what surveyors ask of it: covariance, redundancy, and tests that name a wrong reading. */
import { solve } from './homography.js';

export interface Adjustment {
  readonly params: Float64Array;
  /** In units of their own standard deviation, as the caller weighted them. */
  readonly residuals: Float64Array;
  /** Of the parameters, n × n in rows, for observations of unit variance. */
  readonly covariance: Float64Array;
  /** d residual / d parameter at the end, rows × n. */
  readonly jacobian: Float64Array;
  /** Sum of squared residuals. */
  readonly cost: number;
}

/**
 * Levenberg-Marquardt from `start`.
 * @param observe fills `out` with residuals over their standard deviations
 * @param steps a small change of each parameter, for the differences
 * @throws Error when a parameter is not determined by the observations
 */
export function adjust(
  observe: (params: Float64Array, out: Float64Array) => void,
  start: Float64Array,
  rows: number,
  steps: Float64Array,
): Adjustment {
  const n = start.length;
  let params = start.slice();
  let residuals = new Float64Array(rows);
  observe(params, residuals);
  let cost = squares(residuals);
  let damping = 1e-4;
  const jacobian = new Float64Array(rows * n);
  for (let round = 0; round < 60; round++) {
    differences(observe, params, rows, steps, jacobian);
    const { normal, gradient } = normalEquations(jacobian, residuals, rows, n);
    let moved = false;
    let relative = 0;
    for (let attempt = 0; attempt < 12 && !moved; attempt++) {
      const damped = normal.slice();
      for (let i = 0; i < n; i++) damped[i * n + i]! *= 1 + damping;
      const step = solve(damped, gradient.slice(), n);
      const next = params.map((v, i) => v - step[i]!);
      const nextResiduals = new Float64Array(rows);
      observe(next, nextResiduals);
      const nextCost = squares(nextResiduals);
      if (nextCost <= cost) {
        relative = (cost - nextCost) / Math.max(cost, 1e-12);
        params = next;
        residuals = nextResiduals;
        cost = nextCost;
        damping = Math.max(1e-12, damping / 8);
        moved = true;
      } else damping *= 6;
    }
    if (!moved || relative < 1e-10) break;
  }
  differences(observe, params, rows, steps, jacobian);
  const { normal } = normalEquations(jacobian, residuals, rows, n);
  return { params, residuals, covariance: inverse(normal, n), jacobian, cost };
}

export interface Slip {
  /** Above 1: the others say that this reading is wrong. 0 where nothing checks it. */
  readonly ratio: number;
  /** How wrong, in standard deviations of the reading. */
  readonly size: number;
}

/**
 * How badly the observations `rows` (one reading, or both coordinates of a mark) fit the others: the square root of
 * vᵀ Qvv⁻¹ v over its limit of 0.1 %, and the estimated error Qvv⁻¹ v.
 * Source: W. Baarda, A testing procedure for use in geodetic networks, 1968 (limits 3.29² and 13.82 of the χ² table).
 */
export function slip(a: Adjustment, rows: readonly number[]): Slip {
  const n = a.params.length;
  const q = rows.map((r) => rows.map((s) => (r === s ? 1 : 0) - leverage(a, r, s, n)));
  const v = rows.map((r) => a.residuals[r]!);
  if (rows.length === 1) {
    const free = q[0]![0]!;
    if (free < MIN_REDUNDANCY) return { ratio: 0, size: 0 };
    return { ratio: Math.abs(v[0]!) / Math.sqrt(free) / 3.29, size: Math.abs(v[0]!) / free };
  }
  const [[xx, xy], [, yy]] = q as [[number, number], [number, number]];
  const det = xx * yy - xy * xy;
  if (det > MIN_REDUNDANCY ** 2 && Math.min(xx, yy) > MIN_REDUNDANCY) {
    const ex = (yy * v[0]! - xy * v[1]!) / det;
    const ey = (xx * v[1]! - xy * v[0]!) / det;
    return {
      ratio: Math.sqrt(Math.max(0, v[0]! * ex + v[1]! * ey) / 13.82),
      size: Math.hypot(ex, ey),
    };
  }
  const [x, y] = [slip(a, [rows[0]!]), slip(a, [rows[1]!])];
  return x.ratio > y.ratio ? x : y;
}

/** Below this share of its own check an observation is as good as unchecked. */
const MIN_REDUNDANCY = 1e-4;

function leverage(a: Adjustment, r: number, s: number, n: number): number {
  let sum = 0;
  for (let i = 0; i < n; i++) {
    const left = a.jacobian[r * n + i]!;
    if (left === 0) continue;
    let inner = 0;
    for (let j = 0; j < n; j++) inner += a.covariance[i * n + j]! * a.jacobian[s * n + j]!;
    sum += left * inner;
  }
  return sum;
}

/** Standard deviation of a value computed from the parameters, by its differences. */
export function sigmaOf(
  a: Adjustment,
  steps: Float64Array,
  value: (params: Float64Array) => number,
): number {
  const n = a.params.length;
  const slope = new Float64Array(n);
  const p = a.params.slice();
  for (let i = 0; i < n; i++) {
    p[i] = a.params[i]! + steps[i]!;
    const up = value(p);
    p[i] = a.params[i]! - steps[i]!;
    slope[i] = (up - value(p)) / (2 * steps[i]!);
    p[i] = a.params[i]!;
  }
  let variance = 0;
  for (let i = 0; i < n; i++) {
    for (let j = 0; j < n; j++) variance += slope[i]! * a.covariance[i * n + j]! * slope[j]!;
  }
  return Math.sqrt(Math.max(0, variance));
}

function squares(v: Float64Array): number {
  let s = 0;
  for (const x of v) s += x * x;
  return s;
}

function differences(
  observe: (params: Float64Array, out: Float64Array) => void,
  params: Float64Array,
  rows: number,
  steps: Float64Array,
  jacobian: Float64Array,
): void {
  const n = params.length;
  const p = params.slice();
  const up = new Float64Array(rows);
  const down = new Float64Array(rows);
  for (let i = 0; i < n; i++) {
    p[i] = params[i]! + steps[i]!;
    observe(p, up);
    p[i] = params[i]! - steps[i]!;
    observe(p, down);
    p[i] = params[i]!;
    for (let r = 0; r < rows; r++) jacobian[r * n + i] = (up[r]! - down[r]!) / (2 * steps[i]!);
  }
}

function normalEquations(
  jacobian: Float64Array,
  residuals: Float64Array,
  rows: number,
  n: number,
): { normal: Float64Array; gradient: Float64Array } {
  const normal = new Float64Array(n * n);
  const gradient = new Float64Array(n);
  for (let r = 0; r < rows; r++) {
    for (let i = 0; i < n; i++) {
      const a = jacobian[r * n + i]!;
      if (a === 0) continue;
      gradient[i]! += a * residuals[r]!;
      for (let j = 0; j <= i; j++) normal[i * n + j]! += a * jacobian[r * n + j]!;
    }
  }
  for (let i = 0; i < n; i++) {
    for (let j = 0; j < i; j++) normal[j * n + i] = normal[i * n + j]!;
  }
  return { normal, gradient };
}

function inverse(m: Float64Array, n: number): Float64Array {
  // scaled to a unit diagonal first: parameters differ by orders of magnitude
  const scale = new Float64Array(n);
  for (let i = 0; i < n; i++) scale[i] = 1 / Math.sqrt(Math.max(m[i * n + i]!, 1e-300));
  const out = new Float64Array(n * n);
  for (let c = 0; c < n; c++) {
    const a = m.map((v, k) => v * scale[(k / n) | 0]! * scale[k % n]!);
    const e = new Float64Array(n);
    e[c] = 1;
    const column = solve(a, e, n);
    for (let r = 0; r < n; r++) out[r * n + c] = column[r]! * scale[r]! * scale[c]!;
  }
  return out;
}
