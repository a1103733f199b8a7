/** What is read off a surface of splines at a place, as a linear form of its weights. */
import type { XyMm } from '#libs/net';
import { type Derivative, type SplineAxis, splineCount, splinesAt } from './bspline.js';

/** What a value at a place takes of each weight: a linear form. */
export interface LinearForm {
  readonly at: Int32Array;
  readonly of: Float64Array;
}

/** Value of the surface at a place, or its derivative along x or y, as a form of the weights. */
export function heightForm(
  x: SplineAxis,
  y: SplineAxis,
  [xMm, yMm]: XyMm,
  alongX: Derivative = 'value',
  alongY: Derivative = 'value',
): LinearForm {
  const [sx, sy] = [splinesAt(x, xMm), splinesAt(y, yMm)];
  const ny = splineCount(y);
  const at = new Int32Array(16);
  const of = new Float64Array(16);
  for (let i = 0; i < 4; i++) {
    for (let j = 0; j < 4; j++) {
      at[4 * i + j] = (sx.first + i) * ny + sy.first + j;
      of[4 * i + j] = sx[alongX][i]! * sy[alongY][j]!;
    }
  }
  return { at, of };
}

export function applied({ at, of }: LinearForm, weights: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < at.length; i++) sum += of[i]! * weights[at[i]!]!;
  return sum;
}

export function spread({ at, of }: LinearForm, n: number): Float64Array {
  const all = new Float64Array(n);
  for (let i = 0; i < at.length; i++) all[at[i]!]! += of[i]!;
  return all;
}

export function dot(a: ArrayLike<number>, b: ArrayLike<number>): number {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += a[i]! * b[i]!;
  return sum;
}
