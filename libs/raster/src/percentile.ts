import { makePlane, type Plane } from './plane.js';

/**
 * Percentile (0-1) of the values in a square window round each pixel, values binned to `levels` steps over
 * [low, high]. A histogram slides along each row (Huang 1979, from memory): O(side) per pixel.
 */
export function percentileFilter(
  plane: Plane,
  radius: number,
  fraction: number,
  low: number,
  high: number,
  levels = 256,
): Plane {
  const { width, height } = plane;
  const bins = new Uint16Array(width * height);
  const scale = (levels - 1) / (high - low);
  for (let i = 0; i < bins.length; i++) {
    const b = Math.round((plane.data[i]! - low) * scale);
    bins[i] = b < 0 ? 0 : b >= levels ? levels - 1 : b;
  }
  const out = makePlane(width, height);
  const histogram = new Int32Array(levels);
  for (let y = 0; y < height; y++) {
    histogram.fill(0);
    const y0 = Math.max(0, y - radius);
    const y1 = Math.min(height - 1, y + radius);
    let count = 0;
    let level = 0;
    let below = 0; // values in bins under `level`
    const change = (x: number, by: 1 | -1): void => {
      for (let v = y0; v <= y1; v++) {
        const b = bins[v * width + x]!;
        histogram[b]! += by;
        if (b < level) below += by;
      }
      count += by * (y1 - y0 + 1);
    };
    for (let x = 0; x <= Math.min(radius, width - 1); x++) change(x, 1);
    for (let x = 0; x < width; x++) {
      const want = fraction * (count - 1);
      while (level > 0 && below > want) below -= histogram[--level]!;
      while (level < levels - 1 && below + histogram[level]! <= want) below += histogram[level++]!;
      out.data[y * width + x] = low + level / scale;
      if (x - radius >= 0) change(x - radius, -1);
      if (x + radius + 1 < width) change(x + radius + 1, 1);
    }
  }
  return out;
}
