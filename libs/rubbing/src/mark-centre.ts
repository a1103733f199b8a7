import { type GreyImage, greyAt } from './grey-image.js';

/**
 * The window must hold the whole ring: with 2.6 mm the crossing of ring and arm won on 3 of 80 generated marks (4 to 7 px
 * off); with 5.2 mm the worst of the 80 is 0.18 px off.
 */
const WINDOW_MM = 5.2;

/**
 * Centre of a drawn mark near a tap, in pixels, or undefined when there is no dark symmetric figure.
 *
 * A cross, with or without a ring, is point-symmetric: the darkness multiplied by itself turned half round c and
 * summed is greatest when c is its centre. Letters, specks and tape edges near it are not symmetric and only
 * add a floor. Subpixel by a parabola through the neighbours.
 * @param scalePxPerMm rough scale, decides the window
 */
export function markCentre(
  grey: GreyImage,
  tapX: number,
  tapY: number,
  scalePxPerMm: number,
): [number, number] | undefined {
  const window = Math.max(6, Math.round(WINDOW_MM * scalePxPerMm));
  let x = tapX;
  let y = tapY;
  for (let round = 0; round < 4; round++) {
    // once from whole pixels: from there on, the same figure gives the same centre whatever tap led to it
    if (round === 1) [x, y] = [Math.round(x), Math.round(y)];
    const found = peak(
      grey,
      x,
      y,
      window,
      round === 0 ? Math.max(6, Math.ceil(1.2 * scalePxPerMm)) : 2,
    );
    if (!found) return undefined;
    [x, y] = found;
  }
  return [x, y];
}

function peak(
  grey: GreyImage,
  cx: number,
  cy: number,
  window: number,
  reach: number,
): [number, number] | undefined {
  const r = window + reach + 1;
  const side = 2 * r + 1;
  const patch = new Float32Array(side * side);
  for (let v = -r; v <= r; v++) {
    for (let u = -r; u <= r; u++) patch[(v + r) * side + u + r] = greyAt(grey, cx + u, cy + v);
  }
  const sorted = patch.slice().sort();
  const paper = sorted[Math.floor(0.6 * sorted.length)]!;
  const dark = sorted[Math.floor(0.01 * sorted.length)]!;
  if (paper - dark < 18) return undefined;
  for (let i = 0; i < patch.length; i++) {
    patch[i] = Math.max(0, Math.min(1, (paper - patch[i]!) / (paper - dark) - 0.25));
  }
  const sigma = window * 0.6;
  const bell = new Float64Array(window + 1);
  for (let u = 0; u <= window; u++) bell[u] = Math.exp((-0.5 * u * u) / (sigma * sigma));
  const score = (ox: number, oy: number): number => {
    let s = 0;
    // the lower half: each pixel of the upper one is the partner of one of these
    for (let v = 0; v <= window; v++) {
      const below = (oy + v + r) * side + ox + r;
      const above = (oy - v + r) * side + ox + r;
      let row = 0;
      for (let u = v === 0 ? 1 : -window; u <= window; u++) {
        const a = patch[below + u]!;
        if (a !== 0) row += a * patch[above - u]! * bell[u < 0 ? -u : u]!;
      }
      s += row * bell[v]!;
    }
    return s;
  };
  const n = 2 * reach + 1;
  const scores = new Float64Array(n * n);
  let best = 0;
  for (let j = 0; j < n; j++) {
    for (let i = 0; i < n; i++) {
      const s = score(i - reach, j - reach);
      scores[j * n + i] = s;
      if (s > scores[best]!) best = j * n + i;
    }
  }
  if (scores[best]! <= 0) return undefined;
  const bi = best % n;
  const bj = (best - bi) / n;
  const at = (i: number, j: number): number =>
    scores[Math.max(0, Math.min(n - 1, j)) * n + Math.max(0, Math.min(n - 1, i))]!;
  const vertex = (a: number, b: number, c: number): number => {
    const d = a - 2 * b + c;
    return d < 0 ? Math.max(-0.5, Math.min(0.5, (0.5 * (a - c)) / d)) : 0;
  };
  return [
    cx + bi - reach + vertex(at(bi - 1, bj), at(bi, bj), at(bi + 1, bj)),
    cy + bj - reach + vertex(at(bi, bj - 1), at(bi, bj), at(bi, bj + 1)),
  ];
}
