import type { Plane } from './plane.js';

/** Bilinear value at (x, y) in pixels; outside, the nearest border value. */
export function bilinear(plane: Plane, x: number, y: number): number {
  const { width, height, data } = plane;
  const cx = x < 0 ? 0 : x > width - 1 ? width - 1 : x;
  const cy = y < 0 ? 0 : y > height - 1 ? height - 1 : y;
  const x0 = Math.min(cx | 0, Math.max(0, width - 2));
  const y0 = Math.min(cy | 0, Math.max(0, height - 2));
  const fx = cx - x0;
  const fy = cy - y0;
  const dx = width > 1 ? 1 : 0;
  const i = y0 * width + x0;
  const j = height > 1 ? i + width : i;
  const a = data[i]! + fx * (data[i + dx]! - data[i]!);
  const b = data[j]! + fx * (data[j + dx]! - data[j]!);
  return a + fy * (b - a);
}

/** Mean over k × k blocks; sides are cut to whole blocks. */
export function shrink(plane: Plane, k: number): Plane {
  const width = Math.floor(plane.width / k);
  const height = Math.floor(plane.height / k);
  const data = new Float32Array(width * height);
  const scale = 1 / (k * k);
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      let s = 0;
      for (let v = 0; v < k; v++) {
        let i = (y * k + v) * plane.width + x * k;
        for (let u = 0; u < k; u++) s += plane.data[i++]!;
      }
      data[y * width + x] = s * scale;
    }
  }
  return { width, height, data };
}
