/** The first nine unknowns of both adjustments: eight of the map from a sheet in units of its size to the picture, and k1. */
import type { Homography } from './homography.js';
import { type Adjustment, sigmaOf } from './least-squares.js';
import { type Lens, undistort } from './lens.js';

/** Place of k1 among the unknowns, behind the eight of the map. */
export const H = 8;

type Px = readonly [number, number];

/** Millimetres of the sheet → pixels without lens distortion. */
export function imageFromMm(
  p: Float64Array,
  sizeMm: number,
  { r0, centreX, centreY }: Lens,
): Homography {
  const g = p[6]! / sizeMm;
  const h = p[7]! / sizeMm;
  return [
    (r0 * p[0]!) / sizeMm + centreX * g,
    (r0 * p[1]!) / sizeMm + centreX * h,
    r0 * p[2]! + centreX,
    (r0 * p[3]!) / sizeMm + centreY * g,
    (r0 * p[4]!) / sizeMm + centreY * h,
    r0 * p[5]! + centreY,
    g,
    h,
    1,
  ];
}

/**
 * Standard deviation of the distance between two fixed pixels, millimetres.
 * @param lensOf the lens that the unknowns mean
 */
export function lengthSigmaMm(
  adjustment: Adjustment,
  steps: Float64Array,
  sizeMm: number,
  lensOf: (p: Float64Array) => Lens,
): (a: Px, b: Px) => number {
  return (a, b) =>
    sigmaOf(adjustment, steps, (p) => {
      const lens = lensOf(p);
      const [ax, ay] = backwards(p, lens, a);
      const [bx, by] = backwards(p, lens, b);
      return Math.hypot(ax - bx, ay - by) * sizeMm;
    });
}

/** Place of a pixel on the sheet, in units of its size. */
function backwards(p: Float64Array, lens: Lens, at: Px): [number, number] {
  const [ux, uy] = undistort(lens, at[0], at[1]);
  const u = (ux - lens.centreX) / lens.r0;
  const v = (uy - lens.centreY) / lens.r0;
  // (p0 - u p6) x + (p1 - u p7) y = u - p2, and the same for v
  const a = p[0]! - u * p[6]!;
  const b = p[1]! - u * p[7]!;
  const c = p[3]! - v * p[6]!;
  const d = p[4]! - v * p[7]!;
  const det = a * d - b * c;
  return [((u - p[2]!) * d - b * (v - p[5]!)) / det, (a * (v - p[5]!) - c * (u - p[2]!)) / det];
}
