/** Lozenges in a border. */
import type { Curve, Design, SizeWish } from '../curve.js';
import type { Polyline } from '../polyline.js';
import type { RandomStream } from '../random-stream.js';
import { chooseWidths, rectangularBorder, type Widths } from './border.js';
import { byHand, insideRegion, rectangle } from './region-curves.js';

export function quarries(random: RandomStream, wish?: SizeWish): Design {
  const widths = chooseWidths(random);
  const size = [random.between(290, 400), random.between(380, 520)] as const;
  const sizeMm = wish ?? size;
  const { curves, inside } = rectangularBorder(random, sizeMm, widths, random.chance(0.3));
  curves.push(...lattice(random, inside, widths));
  return { style: 'quarries', sizeMm, outline: rectangle(0, 0, ...sizeMm), curves };
}

/** Two families of parallel leads across a region; some start and stop where a lozenge was replaced. */
export function lattice(random: RandomStream, region: Polyline, widths: Widths): Curve[] {
  const xs = region.map((p) => p[0]);
  const ys = region.map((p) => p[1]);
  const [x0, x1, y0, y1] = [Math.min(...xs), Math.max(...xs), Math.min(...ys), Math.max(...ys)];
  const columns = Math.max(3, Math.round((x1 - x0) / random.between(58, 76)));
  const dx = (x1 - x0) / columns;
  const dy = dx * random.between(1.2, 1.5);
  const slope = dy / dx;
  // Half of the panels have leads that meet the sides at the lozenges' points, half anywhere.
  const shiftY = random.chance(0.5) ? 0 : random.between(0, dy);
  const curves: Curve[] = [];
  for (const sign of [1, -1]) {
    const reach = slope * (x1 - x0) + (y1 - y0);
    for (let c = -Math.ceil(reach / dy); c <= Math.ceil(reach / dy); c++) {
      const yAtLeft = y0 + c * dy + shiftY;
      const line: Polyline = [
        [x0 - 2, yAtLeft - sign * slope * 2],
        [x1 + 2, yAtLeft + sign * slope * (x1 - x0 + 2)],
      ];
      for (const part of insideRegion(line, region)) {
        curves.push({ line: byHand(random, part, 0.35), widthMm: widths.inner, kind: 'inner' });
      }
    }
  }
  return curves;
}
