import type { XyMm } from '#libs/net';
import { PointBins } from './point-bins.js';

/** Places of a low-discrepancy sequence (Halton, bases 2 and 3) over 400 × 400 mm on all sides of the origin. */
function places(count: number): XyMm[] {
  const halton = (i: number, base: number): number =>
    i === 0 ? 0 : ((i % base) + halton(Math.floor(i / base), base)) / base;
  return Array.from({ length: count }, (_, i) => [
    400 * halton(i + 1, 2) - 200,
    400 * halton(i + 1, 3) - 200,
  ]);
}

it.each([3, 20, 55])('finds what looking at all points finds, within %i mm', (withinMm) => {
  const points = places(700);
  const bins = new PointBins(20);
  for (const point of points) bins.add(point);
  let found = 0;
  for (const [x, y] of [...places(40), ...points.slice(0, 40)]) {
    const all = points
      .map((point) => Math.hypot(point[0] - x, point[1] - y))
      .filter((distance) => distance < withinMm);
    const near = bins.distancesMm([x, y], withinMm);
    expect([...near].sort((a, b) => a - b)).toEqual(all.sort((a, b) => a - b));
    found += near.length;
  }
  expect(found).toBeGreaterThan(40);
});
