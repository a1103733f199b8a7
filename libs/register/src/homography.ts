/**
 * Plane to plane: the homography that takes panel millimetres to image pixels, from point pairs.
 *
 * A homography is nine numbers in rows, the last 1: `x' = (h0 x + h1 y + h2) / (h6 x + h7 y + 1)`.
 * It is exact for a flat panel and a lens without distortion; a bulge of height z at distance D
 * shifts a point by about r z / (D - z), r its distance from the image axis.
 */

export type Xy = readonly [x: number, y: number];

/** Nine numbers, row by row, the last one 1. Named left to right: `imageFromPanel`. */
export type Homography = readonly [
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

/** The image of a point. Far outside, on the horizon, coordinates are not finite. */
export function applyHomography(h: Homography, [x, y]: Xy): Xy {
  const w = h[6] * x + h[7] * y + h[8];
  return [(h[0] * x + h[1] * y + h[2]) / w, (h[3] * x + h[4] * y + h[5]) / w];
}

/** The way back. Scaled so that its last number is 1. */
export function invertHomography(h: Homography): Homography {
  const [a, b, c, d, e, f, g, i, j] = h;
  const m = [
    e * j - f * i,
    c * i - b * j,
    b * f - c * e,
    f * g - d * j,
    a * j - c * g,
    c * d - a * f,
    d * i - e * g,
    b * g - a * i,
    a * e - b * d,
  ];
  return scaled(m);
}

/** First `inner`, then `outer`: `panelFromB = compose(panelFromA, aFromB)`. */
export function composeHomographies(outer: Homography, inner: Homography): Homography {
  const m: number[] = [];
  for (let row = 0; row < 3; row++) {
    for (let column = 0; column < 3; column++) {
      let sum = 0;
      for (let k = 0; k < 3; k++) sum += outer[3 * row + k]! * inner[3 * k + column]!;
      m.push(sum);
    }
  }
  return scaled(m);
}

/** How many units of the target one unit of the source becomes at a place (geometric mean). */
export function localScale(h: Homography, [x, y]: Xy): number {
  const w = h[6] * x + h[7] * y + h[8];
  const u = (h[0] * x + h[1] * y + h[2]) / w;
  const v = (h[3] * x + h[4] * y + h[5]) / w;
  const ux = (h[0] - u * h[6]) / w;
  const uy = (h[1] - u * h[7]) / w;
  const vx = (h[3] - v * h[6]) / w;
  const vy = (h[4] - v * h[7]) / w;
  return Math.sqrt(Math.abs(ux * vy - uy * vx));
}

export function scaled(m: readonly number[]): Homography {
  const last = m[8]!;
  return m.map((value) => value / last + 0) as unknown as Homography;
}
