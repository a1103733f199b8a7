/**
 * 3 × 3 maps between planes for drawing: `imageFromPanel` takes panel mm to picture px; products read
 * left to right in the order of their names. Unlike those of libs/register, products and inverses are
 * not scaled to a last value of 1: a corner of the screen may lie on a picture's horizon, where it is 0.
 */
import type { Homography } from '#libs/register';

export type { Homography } from '#libs/register';

export const identity: Homography = [1, 0, 0, 0, 1, 0, 0, 0, 1];
/** y down ↔ y up; the map's engine counts y upwards, panel and picture downwards. */
export const flipY: Homography = [1, 0, 0, 0, -1, 0, 0, 0, 1];

export function asHomography(values: readonly number[]): Homography {
  if (values.length !== 9) throw new Error(`a homography has 9 values, not ${values.length}`);
  return values as unknown as Homography;
}

export function multiply(a: Homography, b: Homography): Homography {
  const out = new Array<number>(9).fill(0);
  for (let row = 0; row < 3; row++)
    for (let column = 0; column < 3; column++)
      for (let k = 0; k < 3; k++) out[row * 3 + column]! += a[row * 3 + k]! * b[k * 3 + column]!;
  return asHomography(out);
}

/** The adjugate is the inverse up to scale, which is all that a homography needs. */
export function invert(m: Homography): Homography {
  const [a, b, c, d, e, f, g, h, i] = m;
  return [
    e * i - f * h,
    c * h - b * i,
    b * f - c * e,
    f * g - d * i,
    a * i - c * g,
    c * d - a * f,
    d * h - e * g,
    b * g - a * h,
    a * e - b * d,
  ];
}

export function apply(m: Homography, x: number, y: number): [number, number] {
  const w = m[6] * x + m[7] * y + m[8];
  return [(m[0] * x + m[1] * y + m[2]) / w, (m[3] * x + m[4] * y + m[5]) / w];
}
