/** Exact Euclidean distance transform and nearest-label map. */

/**
 * Squared distance in pixels from each pixel to the nearest one where `isSource` is nonzero (Infinity if none).
 * Source: Felzenszwalb and Huttenlocher, Distance Transforms of Sampled Functions, 2012: lower envelope of
 * parabolas, one axis after the other, O(pixels).
 */
export function squaredDistance(isSource: Uint8Array, width: number, height: number): Float32Array {
  return envelope(isSource, width, height, null).squared;
}

/**
 * Gives every pixel the label of the nearest labelled pixel (labels > 0), i.e. the skeleton by influence zones;
 * also the squared distance to it.
 */
export function nearestLabel(
  labels: Int32Array,
  width: number,
  height: number,
): { labels: Int32Array; squared: Float32Array } {
  const isSource = new Uint8Array(labels.length);
  for (let i = 0; i < labels.length; i++) isSource[i] = labels[i]! > 0 ? 1 : 0;
  const origin = new Int32Array(labels.length);
  const { squared } = envelope(isSource, width, height, origin);
  const out = new Int32Array(labels.length);
  for (let i = 0; i < out.length; i++) out[i] = origin[i]! >= 0 ? labels[origin[i]!]! : 0;
  return { labels: out, squared };
}

function envelope(
  isSource: Uint8Array,
  width: number,
  height: number,
  origin: Int32Array | null,
): { squared: Float32Array } {
  const rise = columnDistances(isSource, width, height);
  const squared = new Float32Array(width * height);
  const at = new Int32Array(width); // parabola positions
  const cut = new Float64Array(width + 1); // where each parabola takes over
  const f = new Float64Array(width);
  const halfOver = Float64Array.from({ length: width + 1 }, (_, d) => 0.5 / d);
  const row = { rise, at, cut, f, halfOver };
  for (let y = 0; y < height; y++) {
    const o = y * width;
    const top = rowEnvelope(row, o, width);
    if (top < 0) {
      squared.fill(Infinity, o, o + width);
      if (origin) origin.fill(-1, o, o + width);
      continue;
    }
    cut[top + 1] = width;
    let x = 0;
    for (let k = 0; k <= top; k++) {
      const until = Math.min(width - 1, Math.floor(cut[k + 1]!));
      if (x > until) continue;
      const p = at[k]!;
      if (origin) origin.fill(sourceOf(isSource, rise, o + p, width), o + x, o + until + 1);
      fillParabola(squared, o, x, until, p, f[p]!);
      x = until + 1;
    }
  }
  return { squared };
}

/** Parabolas of one row: where each stands and from where on it is the lowest. @returns index of the last, -1 for none */
function rowEnvelope(
  {
    rise,
    at,
    cut,
    f,
    halfOver,
  }: Record<'rise' | 'at', Int32Array> & Record<'cut' | 'f' | 'halfOver', Float64Array>,
  o: number,
  width: number,
): number {
  let top = -1;
  for (let x = 0; x < width; x++) {
    const r = rise[o + x]!;
    if (r === FAR) continue;
    const value = (f[x] = r * r);
    let s = -Infinity;
    while (top >= 0) {
      const p = at[top]!;
      s = 0.5 * (x + p) + (value - f[p]!) * halfOver[x - p]!;
      if (s > cut[top]!) break;
      top--;
    }
    at[++top] = x;
    cut[top] = top === 0 ? -Infinity : s;
  }
  return top;
}

/** The lowest parabola's values from `from` to `to` of a row. */
function fillParabola(
  squared: Float32Array,
  o: number,
  from: number,
  to: number,
  p: number,
  base: number,
): void {
  for (let x = from, d = from - p; x <= to; x++, d++) squared[o + x] = base + d * d;
}

/** No source in the column. */
const FAR = 0x7fffffff;

/** Pixels from each pixel to the nearest source above or below it: two sweeps, row by row. */
function columnDistances(isSource: Uint8Array, width: number, height: number): Int32Array {
  const rise = new Int32Array(width * height);
  for (let i = 0; i < width; i++) rise[i] = isSource[i] ? 0 : FAR;
  for (let i = width; i < rise.length; i++) {
    const above = rise[i - width]!;
    rise[i] = isSource[i] ? 0 : above === FAR ? FAR : above + 1;
  }
  for (let i = rise.length - width - 1; i >= 0; i--) {
    const below = rise[i + width]!;
    if (below < rise[i]!) rise[i] = below + 1;
  }
  return rise;
}

/** Index of the source that gave `rise[i]`, the upper one of two. */
function sourceOf(isSource: Uint8Array, rise: Int32Array, i: number, width: number): number {
  const step = rise[i]! * width;
  return i >= step && isSource[i - step] ? i - step : i + step;
}
