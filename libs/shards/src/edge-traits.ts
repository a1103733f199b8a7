/** How crooked an edge is over different lengths, and where it looks cut or ground rather than broken. */

/** The edge is straight to this rms where it counts as cut or ground. */
const GROUND_RMS_MM = 0.03;
/** … over at least so much of it. */
const GROUND_RUN_MM = 8;

/**
 * For each point of an even ring, the rms distance from a parabola fitted to the window round it, measured across the
 * window's chord.
 */
export function roughness(ring: Float64Array, stepMm: number, windowMm: number): Float32Array {
  const n = ring.length / 2;
  const half = Math.min(Math.round(windowMm / stepMm / 2), Math.floor((n - 1) / 2));
  const size = 2 * half + 1;
  const { linear, square } = polynomials(half);
  const out = new Float32Array(n);
  for (let i = 0; i < n; i++) {
    const a = (i - half + n) % n;
    const b = (i + half) % n;
    const cx = ring[2 * b]! - ring[2 * a]!;
    const cy = ring[2 * b + 1]! - ring[2 * a + 1]!;
    const length = Math.hypot(cx, cy) || 1;
    const nx = -cy / length;
    const ny = cx / length;
    let sum = 0;
    let squares = 0;
    let p1 = 0;
    let p2 = 0;
    let k = a;
    for (let m = 0; m < size; m++) {
      const v = (ring[2 * k]! - ring[2 * a]!) * nx + (ring[2 * k + 1]! - ring[2 * a + 1]!) * ny;
      sum += v;
      squares += v * v;
      p1 += v * linear[m]!;
      p2 += v * square[m]!;
      if (++k === n) k = 0;
    }
    const rest = squares - (sum * sum) / size - p1 * p1 - p2 * p2;
    out[i] = Math.sqrt(Math.max(0, rest) / size);
  }
  return out;
}

/** Unit vectors of degree 1 and 2 over a window, each free of the lower ones. */
function polynomials(half: number): { linear: Float64Array; square: Float64Array } {
  const size = 2 * half + 1;
  const linear = Float64Array.from({ length: size }, (_, m) => m - half);
  const mean = linear.reduce((s, v) => s + v * v, 0) / size;
  const square = linear.map((v) => v * v - mean);
  return { linear: unit(linear), square: unit(square) };
}

function unit(v: Float64Array): Float64Array {
  const length = Math.sqrt(v.reduce((s, x) => s + x * x, 0)) || 1;
  return v.map((x) => x / length);
}

/** Marks runs that are straight enough, and long enough, to be an original edge; not all are found. */
export function groundRuns(rough: Float32Array, stepMm: number): Uint8Array {
  const n = rough.length;
  const least = GROUND_RUN_MM / stepMm;
  const out = new Uint8Array(n);
  const start = rough.findIndex((r) => r >= GROUND_RMS_MM);
  if (start < 0) return out.fill(1);
  let run = 0;
  for (let k = 1; k <= n; k++) {
    if (k < n && rough[(start + k) % n]! < GROUND_RMS_MM) run++;
    else {
      if (run >= least) for (let m = 1; m <= run; m++) out[(start + k - m) % n] = 1;
      run = 0;
    }
  }
  return out;
}
