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
  const squared = new Float32Array(width * height);
  const nearY = new Int32Array(width * height);
  // columns: distance to the nearest source above or below, two sweeps
  for (let x = 0; x < width; x++) {
    let last = -1;
    for (let y = 0; y < height; y++) {
      const i = y * width + x;
      if (isSource[i]) last = y;
      nearY[i] = last;
    }
    last = -1;
    for (let y = height - 1; y >= 0; y--) {
      const i = y * width + x;
      if (isSource[i]) last = y;
      const up = nearY[i]!;
      if (last >= 0 && (up < 0 || last - y < y - up)) nearY[i] = last;
      squared[i] = nearY[i]! < 0 ? Infinity : (nearY[i]! - y) ** 2;
    }
  }
  const at = new Int32Array(width); // parabola positions
  const cut = new Float64Array(width + 1);
  const row = new Float32Array(width);
  for (let y = 0; y < height; y++) {
    const o = y * width;
    let k = -1;
    for (let x = 0; x < width; x++) {
      const f = squared[o + x]!;
      row[x] = f;
      if (f === Infinity) continue;
      let s = -Infinity;
      while (k >= 0) {
        const p = at[k]!;
        s = (f + x * x - (row[p]! + p * p)) / (2 * (x - p));
        if (s > cut[k]!) break;
        k--;
      }
      if (k < 0) s = -Infinity;
      k++;
      at[k] = x;
      cut[k] = s;
    }
    if (k < 0) {
      if (origin) origin.fill(-1, o, o + width);
      continue;
    }
    const top = k;
    k = 0;
    for (let x = 0; x < width; x++) {
      while (k < top && cut[k + 1]! < x) k++;
      const p = at[k]!;
      squared[o + x] = row[p]! + (x - p) * (x - p);
      if (origin) origin[o + x] = nearY[o + p]! * width + p;
    }
  }
  return { squared };
}
