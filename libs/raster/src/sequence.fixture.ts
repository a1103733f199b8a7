import { makePlane, type Plane } from './plane.js';

/** Repeatable numbers in [0, 1) for tests: a 32-bit linear congruential generator (Numerical Recipes constants, from memory). */
export function sequence(start: number): () => number {
  let state = start >>> 0;
  return () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state / 2 ** 32;
  };
}

export function noisePlane(width: number, height: number, start = 1): Plane {
  const next = sequence(start);
  return makePlane(
    width,
    height,
    Float32Array.from({ length: width * height }, () => next()),
  );
}
