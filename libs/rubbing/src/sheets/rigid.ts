/** Turn and shift in the plane, millimetres: (x, y) → (c x - s y + tx, s x + c y + ty). */
export interface Rigid {
  readonly c: number;
  readonly s: number;
  readonly tx: number;
  readonly ty: number;
}

export const STILL: Rigid = { c: 1, s: 0, tx: 0, ty: 0 };

/** Turn by `angle` (radians, from +x towards +y) about the origin, then shift. */
export function rigid(angle: number, tx: number, ty: number): Rigid {
  return { c: Math.cos(angle), s: Math.sin(angle), tx, ty };
}

export function moved(m: Rigid, x: number, y: number): [number, number] {
  return [m.c * x - m.s * y + m.tx, m.s * x + m.c * y + m.ty];
}

export function inverseOf(m: Rigid): Rigid {
  return { c: m.c, s: -m.s, tx: -(m.c * m.tx + m.s * m.ty), ty: m.s * m.tx - m.c * m.ty };
}

/** First `b`, then `a`. */
export function after(a: Rigid, b: Rigid): Rigid {
  const [tx, ty] = moved(a, b.tx, b.ty);
  return { c: a.c * b.c - a.s * b.s, s: a.s * b.c + a.c * b.s, tx, ty };
}

/** Row-major 3 × 3. */
export function matrixOf(m: Rigid): number[] {
  return [m.c, -m.s, m.tx, m.s, m.c, m.ty, 0, 0, 1];
}

export const angleOf = (m: Rigid): number => Math.atan2(m.s, m.c);

/**
 * Least-squares turn and shift that takes `from` onto `to` (flat x0,y0,…).
 * Source: Procrustes analysis in the plane by complex numbers, from memory.
 */
export function fitRigid(
  from: ArrayLike<number>,
  to: ArrayLike<number>,
  weight: ArrayLike<number>,
): Rigid {
  let w = 0;
  const mean = [0, 0, 0, 0];
  for (let k = 0; k < weight.length; k++) {
    w += weight[k]!;
    mean[0]! += weight[k]! * from[2 * k]!;
    mean[1]! += weight[k]! * from[2 * k + 1]!;
    mean[2]! += weight[k]! * to[2 * k]!;
    mean[3]! += weight[k]! * to[2 * k + 1]!;
  }
  const [ax, ay, bx, by] = mean.map((v) => v / w) as [number, number, number, number];
  let re = 0;
  let im = 0;
  for (let k = 0; k < weight.length; k++) {
    const x = from[2 * k]! - ax;
    const y = from[2 * k + 1]! - ay;
    const u = to[2 * k]! - bx;
    const v = to[2 * k + 1]! - by;
    re += weight[k]! * (x * u + y * v);
    im += weight[k]! * (x * v - y * u);
  }
  const r = Math.hypot(re, im);
  const c = r > 0 ? re / r : 1;
  const s = r > 0 ? im / r : 0;
  return { c, s, tx: bx - (c * ax - s * ay), ty: by - (s * ax + c * ay) };
}
