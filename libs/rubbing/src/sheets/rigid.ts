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
