/** Walking flat rings: even points, smoothing, normals, and where they come to lie. */
import type { Turn } from './pose.js';

/** A flat ring as points of the frame that a turn takes it into. */
export function turnedRing(ring: Float64Array, { cos, sin, x, y }: Turn): [number, number][] {
  return Array.from({ length: ring.length / 2 }, (_, m) => [
    cos * ring[2 * m]! - sin * ring[2 * m + 1]! + x,
    sin * ring[2 * m]! + cos * ring[2 * m + 1]! + y,
  ]);
}

/** Points of a closed flat ring at even arc steps of about `stepMm` (made to close evenly). */
export function evenRing(ring: Float64Array, stepMm: number): Float64Array<ArrayBuffer> {
  const n = ring.length / 2;
  const along = new Float64Array(n + 1);
  for (let i = 0; i < n; i++) {
    const j = (i + 1) % n;
    along[i + 1] =
      along[i]! + Math.hypot(ring[2 * j]! - ring[2 * i]!, ring[2 * j + 1]! - ring[2 * i + 1]!);
  }
  const total = along[n]!;
  const count = Math.max(8, Math.round(total / stepMm));
  const out = new Float64Array(2 * count);
  let i = 0;
  for (let k = 0; k < count; k++) {
    const s = (k * total) / count;
    while (i < n - 1 && along[i + 1]! <= s) i++;
    const span = along[i + 1]! - along[i]!;
    const t = span > 0 ? (s - along[i]!) / span : 0;
    const j = (i + 1) % n;
    out[2 * k] = ring[2 * i]! + t * (ring[2 * j]! - ring[2 * i]!);
    out[2 * k + 1] = ring[2 * i + 1]! + t * (ring[2 * j + 1]! - ring[2 * i + 1]!);
  }
  return out;
}

/** Gaussian smoothing along an evenly walked ring. */
export function smoothRing(ring: Float64Array, sigmaSteps: number): Float64Array<ArrayBuffer> {
  const n = ring.length / 2;
  const radius = Math.ceil(3 * sigmaSteps);
  const kernel = Float64Array.from({ length: radius + 1 }, (_, k) =>
    Math.exp((-k * k) / (2 * sigmaSteps * sigmaSteps)),
  );
  let sum = kernel[0]!;
  for (let k = 1; k <= radius; k++) sum += 2 * kernel[k]!;
  const out = new Float64Array(ring.length);
  for (let i = 0; i < n; i++) {
    let x = kernel[0]! * ring[2 * i]!;
    let y = kernel[0]! * ring[2 * i + 1]!;
    for (let k = 1; k <= radius; k++) {
      const a = 2 * ((((i - k) % n) + n) % n);
      const b = 2 * ((i + k) % n);
      x += kernel[k]! * (ring[a]! + ring[b]!);
      y += kernel[k]! * (ring[a + 1]! + ring[b + 1]!);
    }
    out[2 * i] = x / sum;
    out[2 * i + 1] = y / sum;
  }
  return out;
}

/** Outward unit normals of a ring of positive area, from the points `reach` steps before and after. */
export function ringNormals(ring: Float64Array, reach: number): Float64Array<ArrayBuffer> {
  const n = ring.length / 2;
  const out = new Float64Array(ring.length);
  for (let i = 0; i < n; i++) {
    const a = 2 * ((i - reach + n) % n);
    const b = 2 * ((i + reach) % n);
    const dx = ring[b]! - ring[a]!;
    const dy = ring[b + 1]! - ring[a + 1]!;
    const length = Math.hypot(dx, dy) || 1;
    out[2 * i] = dy / length;
    out[2 * i + 1] = -dx / length;
  }
  return out;
}

/** The ring mirrored at the y axis, walked so that its area stays positive; point i becomes n - 1 - i. */
export function mirroredRing(ring: Float64Array): Float64Array<ArrayBuffer> {
  const n = ring.length / 2;
  const out = new Float64Array(ring.length);
  for (let i = 0; i < n; i++) {
    const j = n - 1 - i;
    out[2 * i] = -ring[2 * j]!;
    out[2 * i + 1] = ring[2 * j + 1]!;
  }
  return out;
}
