import type { Plane } from './plane.js';

/** Maximum over (2 radius + 1)², border cut off. Van Herk-Gil-Werman: three comparisons per pixel and axis. */
export function maxFilter(plane: Plane, radius: number): Plane {
  return separable(plane, radius, Math.max, -Infinity);
}

/** Minimum over (2 radius + 1)². */
export function minFilter(plane: Plane, radius: number): Plane {
  return separable(plane, radius, Math.min, Infinity);
}

/** Grey closing: fills dark places narrower than the square's side. */
export function closing(plane: Plane, radius: number): Plane {
  return minFilter(maxFilter(plane, radius), radius);
}

function separable(
  plane: Plane,
  radius: number,
  pick: (a: number, b: number) => number,
  neutral: number,
): Plane {
  const { width, height } = plane;
  const tmp = new Float32Array(width * height);
  const out = new Float32Array(width * height);
  lines(plane.data, tmp, height, width, width, 1, radius, pick, neutral);
  lines(tmp, out, width, height, 1, width, radius, pick, neutral);
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
  pick: (a: number, b: number) => number,
  neutral: number,
): void {
  const size = 2 * radius + 1;
  const padded = Math.ceil((n + 2 * radius) / size) * size;
  const value = new Float32Array(padded);
  const forward = new Float32Array(padded);
  const backward = new Float32Array(padded);
  for (let line = 0; line < count; line++) {
    const o = line * lineStep;
    value.fill(neutral);
    for (let k = 0; k < n; k++) value[k + radius] = src[o + k * step]!;
    for (let k = 0; k < padded; k++) {
      forward[k] = k % size === 0 ? value[k]! : pick(forward[k - 1]!, value[k]!);
    }
    for (let k = padded - 1; k >= 0; k--) {
      backward[k] = k % size === size - 1 ? value[k]! : pick(backward[k + 1]!, value[k]!);
    }
    for (let k = 0; k < n; k++) dst[o + k * step] = pick(backward[k]!, forward[k + 2 * radius]!);
  }
}
