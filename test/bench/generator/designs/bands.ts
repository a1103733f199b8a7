/** Nested rectangles with a medallion, straight and round leads mixed. */
import type { Curve, Design, SizeWish } from '../curve.js';
import { arc, type Point } from '../polyline.js';
import type { RandomStream } from '../random-stream.js';
import { chooseWidths, rectangularBorder } from './border.js';
import { byHand, closed, rectangle, spanning } from './region-curves.js';
import { bowed } from './split-region.js';

export function bands(random: RandomStream, wish?: SizeWish): Design {
  const widths = chooseWidths(random);
  const size = [random.between(320, 420), random.between(420, 560)] as const;
  const sizeMm = wish ?? size;
  const { curves, inside } = rectangularBorder(random, sizeMm, widths, random.chance(0.6));
  const add = (
    line: readonly Point[],
    widthMm: number,
    kind: Curve['kind'] = 'inner',
    shake = 0.3,
  ): void => {
    curves.push({ line: byHand(random, line, shake), widthMm, kind });
  };
  const [ax, ay] = inside[0]!;
  const [bx, by] = inside[2]!;
  const second = random.between(32, 44);
  const core = rectangle(ax + second, ay + second, bx - second, by - second);
  add(closed(core), widths.inner, 'border', 0.2);
  for (let k = 0; k < 4; k++) add(spanning(inside[k]!, core[k]!, 0.6), widths.inner, 'border');
  // short leads across the second band
  for (let side = 0; side < 4; side++) {
    const c = core[side]!;
    const d = core[(side + 1) % 4]!;
    const length = Math.hypot(d[0] - c[0], d[1] - c[1]);
    const n = Math.max(2, Math.round(length / random.between(70, 100)));
    for (let k = 1; k < n; k++) {
      const t = (k + random.between(-0.2, 0.2)) / n;
      const p: Point = [c[0] + t * (d[0] - c[0]), c[1] + t * (d[1] - c[1])];
      const u: Point = [(d[0] - c[0]) / length, (d[1] - c[1]) / length];
      add(spanning(p, [p[0] + u[1] * second, p[1] - u[0] * second]), widths.inner, 'border');
    }
  }
  medallion(random, core, widths.inner, add);
  return { style: 'bands', sizeMm, outline: rectangle(0, 0, ...sizeMm), curves };
}

type Add = (line: readonly Point[], widthMm: number, kind?: Curve['kind'], shake?: number) => void;

function medallion(random: RandomStream, core: readonly Point[], widthMm: number, add: Add): void {
  const [ax, ay] = core[0]!;
  const [bx, by] = core[2]!;
  const centre: Point = [
    (ax + bx) / 2 + random.between(-6, 6),
    (ay + by) / 2 + random.between(-12, 12),
  ];
  const most = Math.min(bx - ax, by - ay) / 2;
  const radius = most * random.between(0.62, 0.9);
  const hole = radius * random.between(0.4, 0.6);
  const ring = (r: number): Point[] => arc(centre, r, 0, 2 * Math.PI);
  add(ring(radius), widthMm, 'inner', 0.25);
  add(ring(hole), widthMm, 'inner', 0.25);
  const spokes = random.pick([4, 6, 6, 8]);
  const turn = random.between(0, Math.PI);
  for (let k = 0; k < spokes; k++) {
    const t = turn + (2 * Math.PI * k) / spokes;
    const at = (r: number): Point => [centre[0] + r * Math.cos(t), centre[1] + r * Math.sin(t)];
    add(spanning(at(hole), at(radius), 0.8), widthMm);
  }
  if (random.chance(0.6)) {
    const t = random.between(0, Math.PI);
    const at = (r: number): Point => [centre[0] + r * Math.cos(t), centre[1] + r * Math.sin(t)];
    add(spanning(at(-hole), at(hole), 0.8), widthMm);
  }
  // out to the rectangle: straight to the sides, bowed to the corners
  const sides: Point[] = [
    [centre[0], ay],
    [bx, centre[1]],
    [centre[0], by],
    [ax, centre[1]],
  ];
  for (const end of sides) {
    const d = Math.hypot(end[0] - centre[0], end[1] - centre[1]);
    if (d - radius < 12) continue;
    const from: Point = [
      centre[0] + ((end[0] - centre[0]) / d) * radius,
      centre[1] + ((end[1] - centre[1]) / d) * radius,
    ];
    add(spanning(from, end), widthMm);
  }
  for (const corner of core) {
    const d = Math.hypot(corner[0] - centre[0], corner[1] - centre[1]);
    const from: Point = [
      centre[0] + ((corner[0] - centre[0]) / d) * (radius - 1),
      centre[1] + ((corner[1] - centre[1]) / d) * (radius - 1),
    ];
    const along: Point = [
      corner[0] + Math.sign(centre[0] - corner[0]) * random.between(14, 30),
      corner[1] - Math.sign(centre[1] - corner[1]) * 1.2,
    ];
    add(bowed(from, along, random.between(-9, 9)), widthMm);
  }
}
