/** Which stretches of which lead took wax at all, measured on the wax itself. */
import { type Point, type Polyline, resample } from './polyline.js';
import type { Sheet } from './sheet.js';

/** Mean cover of the face below which a person could not say that a lead runs there. */
export const LEAST_COVER = 0.085;

/** 0 or 1 for each sample of the line resampled at 2 mm, cover averaged over 6 mm along and the face across. */
export function seenAlong(
  sheet: Sheet,
  cover: Float32Array,
  line: Polyline,
  widthMm: number,
): number[] {
  const points = resample(line, 2);
  const means = points.map((p, i) => {
    const a = points[Math.max(0, i - 1)]!;
    const b = points[Math.min(points.length - 1, i + 1)]!;
    const d = Math.hypot(b[0] - a[0], b[1] - a[1]) || 1;
    return meanAcross(sheet, cover, p, [(b[0] - a[0]) / d, (b[1] - a[1]) / d], widthMm);
  });
  return means.map((_, i) => {
    const near = means.slice(Math.max(0, i - 1), i + 2);
    return near.reduce((p, q) => p + q, 0) / near.length >= LEAST_COVER ? 1 : 0;
  });
}

function meanAcross(
  sheet: Sheet,
  cover: Float32Array,
  p: Point,
  u: Point,
  widthMm: number,
): number {
  const s = sheet.pxPerMm;
  let sum = 0;
  let n = 0;
  for (let along = -1; along <= 1; along += 0.25) {
    for (let across = -widthMm / 2; across <= widthMm / 2; across += 0.25) {
      const x = Math.floor((p[0] + along * u[0] - across * u[1] - sheet.leftMm) * s);
      const y = Math.floor((p[1] + along * u[1] + across * u[0] - sheet.topMm) * s);
      if (x < 0 || y < 0 || x >= sheet.widthPx || y >= sheet.heightPx) continue;
      sum += cover[y * sheet.widthPx + x]!;
      n++;
    }
  }
  return n ? sum / n : 0;
}
