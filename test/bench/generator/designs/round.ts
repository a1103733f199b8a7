/** A roundel: outer ring, border cut by radial leads, petals or irregular pieces in the middle. */
import type { Curve, Design, SizeWish } from '../curve.js';
import { arc, type Point } from '../polyline.js';
import type { RandomStream } from '../random-stream.js';
import { chooseWidths } from './border.js';
import { irregular } from './figure.js';
import { byHand, closed, spanning } from './region-curves.js';
import { bowed } from './split-region.js';

export function round(random: RandomStream, wish?: SizeWish): Design {
  const widths = chooseWidths(random);
  const chosen = random.between(170, 235);
  const r = wish ? wish[0] / 2 : chosen;
  const centre: Point = [r, r];
  const circle = (radius: number): Point[] => arc(centre, radius, 0, 2 * Math.PI).slice(0, -1);
  const rOuter = r - widths.outer / 2;
  const rBorder = rOuter - random.between(26, 38);
  const curves: Curve[] = [
    { line: closed(circle(rOuter)), widthMm: widths.outer, kind: 'outer' },
    { line: closed(byHand(random, circle(rBorder), 0.25)), widthMm: widths.border, kind: 'border' },
  ];
  const at = (radius: number, t: number): Point => [
    r + radius * Math.cos(t),
    r + radius * Math.sin(t),
  ];
  const n = random.whole(12, 18);
  const turn = random.between(0, 1);
  for (let k = 0; k < n; k++) {
    const t = turn + (2 * Math.PI * (k + random.between(-0.15, 0.15))) / n;
    curves.push({
      line: byHand(random, spanning(at(rBorder, t), at(rOuter, t)), 0.2),
      widthMm: widths.inner,
      kind: 'border',
    });
  }
  if (random.chance(0.5))
    curves.push(...irregular(random, circle(rBorder), widths, random.whole(28, 46)));
  else curves.push(...petals(random, at, rBorder, widths.inner));
  return {
    style: 'round',
    sizeMm: [2 * r, 2 * r],
    outline: arc(centre, r, 0, 2 * Math.PI, 3).slice(0, -1),
    curves,
  };
}

function petals(
  random: RandomStream,
  at: (radius: number, t: number) => Point,
  rBorder: number,
  widthMm: number,
): Curve[] {
  const curves: Curve[] = [];
  const add = (line: readonly Point[]): void => {
    curves.push({ line: byHand(random, line, 0.3), widthMm, kind: 'inner' });
  };
  const n = random.pick([6, 8, 10]);
  const hub = rBorder * random.between(0.26, 0.34);
  const ring = rBorder * random.between(0.62, 0.72);
  add([...arc(at(0, 0), hub, 0, 2 * Math.PI)]);
  add([...arc(at(0, 0), ring, 0, 2 * Math.PI)]);
  for (let k = 0; k < n; k++) {
    const t = (2 * Math.PI * k) / n;
    add(spanning(at(hub, t), at(ring, t), 0.8));
    const u = t + Math.PI / n;
    add(bowed(at(ring - 0.8, t), at(rBorder + 1, u), 7));
    add(bowed(at(rBorder + 1, u), at(ring - 0.8, t + (2 * Math.PI) / n), 7));
  }
  add(spanning(at(-hub, 0.3), at(hub, 0.3), 0.8));
  return curves;
}
