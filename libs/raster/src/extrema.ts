import type { Plane } from './plane.js';

/** Maximum over (2 radius + 1)², border cut off. Van Herk-Gil-Werman: three comparisons per pixel and axis. */
export function maxFilter(plane: Plane, radius: number): Plane {
  return separable(plane, radius, 1);
}

/** Minimum over (2 radius + 1)². */
export function minFilter(plane: Plane, radius: number): Plane {
  return separable(plane, radius, -1);
}

/** Grey closing: fills dark places narrower than the square's side. */
export function closing(plane: Plane, radius: number): Plane {
  return minFilter(maxFilter(plane, radius), radius);
}

/** The largest value for sign 1; for -1 the smallest, as the largest of the values turned over. */
function separable(plane: Plane, radius: number, sign: 1 | -1): Plane {
  const { width, height } = plane;
  const tmp = new Float32Array(width * height);
  const out = new Float32Array(width * height);
  lines(plane.data, tmp, height, width, width, 1, radius, sign);
  lines(tmp, out, width, height, 1, width, radius, sign);
  return { width, height, data: out };
}

function lines(
  src: Float32Array,
  dst: Float32Array,
  count: number,
  n: number,
  lineStep: number,
  step: number,
  radius: number,
  sign: 1 | -1,
): void {
  const size = 2 * radius + 1;
  const padded = Math.ceil((n + 2 * radius) / size) * size;
  const value = new Float32Array(padded).fill(-Infinity);
  const forward = new Float32Array(padded);
  const backward = new Float32Array(padded);
  for (let line = 0; line < count; line++) {
    const o = line * lineStep;
    for (let k = 0; k < n; k++) value[k + radius] = sign * src[o + k * step]!;
    for (let block = 0; block < padded; block += size) {
      const end = block + size;
      let most = -Infinity;
      for (let k = block; k < end; k++) {
        const v = value[k]!;
        if (v > most) most = v;
        forward[k] = most;
      }
      most = -Infinity;
      for (let k = end - 1; k >= block; k--) {
        const v = value[k]!;
        if (v > most) most = v;
        backward[k] = most;
      }
    }
    for (let k = 0; k < n; k++) {
      const a = backward[k]!;
      const b = forward[k + 2 * radius]!;
      dst[o + k * step] = sign * (a > b ? a : b);
    }
  }
}
