/** Plane projective maps, as nine numbers in rows with the last one 1. */
export type Homography = readonly number[];

/** Image of (x, y) under `h`. */
export function project(h: Homography, x: number, y: number): [number, number] {
  const w = h[6]! * x + h[7]! * y + h[8]!;
  return [(h[0]! * x + h[1]! * y + h[2]!) / w, (h[3]! * x + h[4]! * y + h[5]!) / w];
}

/**
 * Homography that takes `from` onto `to` (flat x0,y0,x1,y1…, at least four points), least squares in the
 * algebraic error of normalised points; exact for four.
 * Source: Hartley and Zisserman, Multiple View Geometry, section 4.4 (normalised DLT), from memory.
 */
export function fitHomography(from: ArrayLike<number>, to: ArrayLike<number>): Homography {
  const a = normalisation(from);
  const b = normalisation(to);
  const n = from.length / 2;
  const m = new Float64Array(64);
  const v = new Float64Array(8);
  const row = new Float64Array(9);
  const add = (): void => {
    for (let i = 0; i < 8; i++) {
      for (let j = 0; j < 8; j++) m[i * 8 + j]! += row[i]! * row[j]!;
      v[i]! += row[i]! * row[8]!;
    }
  };
  for (let k = 0; k < n; k++) {
    const x = (from[2 * k]! - a.cx) * a.s;
    const y = (from[2 * k + 1]! - a.cy) * a.s;
    const u = (to[2 * k]! - b.cx) * b.s;
    const w = (to[2 * k + 1]! - b.cy) * b.s;
    row.set([x, y, 1, 0, 0, 0, -u * x, -u * y, u]);
    add();
    row.set([0, 0, 0, x, y, 1, -w * x, -w * y, w]);
    add();
  }
  const h = solve(m, v, 8);
  const inner = [...h, 1];
  // to = B^-1 * inner * A
  const left = multiply([1 / b.s, 0, b.cx, 0, 1 / b.s, b.cy, 0, 0, 1], inner);
  const all = multiply(left, [a.s, 0, -a.s * a.cx, 0, a.s, -a.s * a.cy, 0, 0, 1]);
  return all.map((value) => value / all[8]!);
}

export function invertHomography(h: Homography): Homography {
  const [a, b, c, d, e, f, g, i, k] = h as [
    number,
    number,
    number,
    number,
    number,
    number,
    number,
    number,
    number,
  ];
  const r = [
    e * k - f * i,
    c * i - b * k,
    b * f - c * e,
    f * g - d * k,
    a * k - c * g,
    c * d - a * f,
    d * i - e * g,
    b * g - a * i,
    a * e - b * d,
  ];
  return r.map((value) => value / r[8]!);
}

/** The map that applies `q` first, then `p`; not yet scaled so that the last number is 1. */
export function multiply(p: readonly number[], q: readonly number[]): number[] {
  const out: number[] = [];
  for (let i = 0; i < 3; i++) {
    for (let j = 0; j < 3; j++) {
      out.push(p[3 * i]! * q[j]! + p[3 * i + 1]! * q[3 + j]! + p[3 * i + 2]! * q[6 + j]!);
    }
  }
  return out;
}

function normalisation(p: ArrayLike<number>): { cx: number; cy: number; s: number } {
  const n = p.length / 2;
  let cx = 0;
  let cy = 0;
  for (let k = 0; k < n; k++) {
    cx += p[2 * k]! / n;
    cy += p[2 * k + 1]! / n;
  }
  let d = 0;
  for (let k = 0; k < n; k++) d += Math.hypot(p[2 * k]! - cx, p[2 * k + 1]! - cy) / n;
  return { cx, cy, s: Math.SQRT2 / Math.max(d, 1e-12) };
}

/** Solves the n × n system in place by elimination with partial pivoting. @throws if it is singular */
export function solve(m: Float64Array, v: Float64Array, n: number): Float64Array {
  for (let c = 0; c < n; c++) {
    let p = c;
    for (let r = c + 1; r < n; r++) {
      if (Math.abs(m[r * n + c]!) > Math.abs(m[p * n + c]!)) p = r;
    }
    if (Math.abs(m[p * n + c]!) < 1e-14) throw new Error('singular system of equations');
    if (p !== c) {
      for (let k = 0; k < n; k++) {
        const t = m[c * n + k]!;
        m[c * n + k] = m[p * n + k]!;
        m[p * n + k] = t;
      }
      const t = v[c]!;
      v[c] = v[p]!;
      v[p] = t;
    }
    for (let r = c + 1; r < n; r++) {
      const f = m[r * n + c]! / m[c * n + c]!;
      if (f === 0) continue;
      for (let k = c; k < n; k++) m[r * n + k]! -= f * m[c * n + k]!;
      v[r]! -= f * v[c]!;
    }
  }
  for (let r = n - 1; r >= 0; r--) {
    let s = v[r]!;
    for (let k = r + 1; k < n; k++) s -= m[r * n + k]! * v[k]!;
    v[r] = s / m[r * n + r]!;
  }
  return v;
}
