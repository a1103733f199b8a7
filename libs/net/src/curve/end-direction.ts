import type { XyMm } from '../net.js';
import { distanceMm } from '../ring.js';
import { unit } from './curve-parts.js';

const DIRECTION_REACH_MM = 8;

/**
 * Unit direction in which a line of points leaves one of its points: a parabola through that point
 * by least squares over the next few millimetres, so that neither noise nor bend turns it much.
 *
 * @param step 1 along the points, -1 back; `limit` is the last index that belongs to the stretch
 */
export function endDirection(
  points: readonly XyMm[],
  at: number,
  step: 1 | -1,
  limit: number,
): XyMm {
  const [x0, y0] = points[at]!;
  let run = 0;
  let s2 = 0;
  let s3 = 0;
  let s4 = 0;
  let x1 = 0;
  let y1 = 0;
  let x2 = 0;
  let y2 = 0;
  let used = 0;
  let before = points[at]!;
  for (let i = at + step; step > 0 ? i <= limit : i >= limit; i += step) {
    const p = points[i]!;
    run += distanceMm(before, p);
    before = p;
    const r2 = run * run;
    s2 += r2;
    s3 += r2 * run;
    s4 += r2 * r2;
    x1 += run * (p[0] - x0);
    y1 += run * (p[1] - y0);
    x2 += r2 * (p[0] - x0);
    y2 += r2 * (p[1] - y0);
    used++;
    if (run >= DIRECTION_REACH_MM && used >= 3) break;
  }
  const det = s2 * s4 - s3 * s3;
  if (used < 3 || det <= 1e-9 * s2 * s4) return unit([before[0] - x0, before[1] - y0]);
  return unit([x1 * s4 - x2 * s3, y1 * s4 - y2 * s3]);
}

export function reversed([x, y]: XyMm): XyMm {
  return [0 - x, 0 - y];
}
