/** A pointed head: two arcs on straight sides, a border that follows, lozenges or irregular pieces inside. */
import type { Curve, Design, SizeWish } from '../curve.js';
import { arc, type Point, resample } from '../polyline.js';
import type { RandomStream } from '../random-stream.js';
import { chooseWidths } from './border.js';
import { irregular } from './figure.js';
import { lattice } from './quarries.js';
import { byHand, closed, inwards, nearestOnRing, ringPoint, spanning } from './region-curves.js';

export function lancet(random: RandomStream, wish?: SizeWish): Design {
  const widths = chooseWidths(random);
  const { w, straight, radius } = shape(random, wish);
  const head = headOver(w, radius);
  const outline = pointedOutline(w, straight, radius, head);
  const sizeMm = [w, straight + head] as const;
  const outer = inwards(outline, widths.outer / 2);
  const band = random.between(24, 34);
  const inside = inwards(outer, band);
  const curves: Curve[] = [
    { line: closed(outer), widthMm: widths.outer, kind: 'outer' },
    { line: closed(inside), widthMm: widths.border, kind: 'border' },
  ];
  const n = random.whole(13, 19);
  for (let k = 0; k < n; k++) {
    const p = ringPoint(inside, (k + random.between(-0.2, 0.2)) / n);
    const q = nearestOnRing(outer, p);
    curves.push({
      line: byHand(random, spanning(p, q), 0.2),
      widthMm: widths.inner,
      kind: 'border',
    });
  }
  curves.push(
    ...(random.chance(0.5)
      ? lattice(random, inside, widths)
      : irregular(random, inside, widths, random.whole(26, 44))),
  );
  return { style: 'lancet', sizeMm, outline, curves };
}

/** A wished size gets an equilateral head: both arc centres on the springing, the span apart. */
function shape(random: RandomStream, wish: SizeWish | undefined) {
  const w = random.between(280, 380);
  const straight = random.between(160, 260);
  // Arc centres lie outside the span by a share of the width: a sharper or blunter head.
  const radius = w * random.between(0.75, 1.1);
  if (wish === undefined) return { w, straight, radius };
  const [widthMm, heightMm] = wish;
  return { w: widthMm, straight: heightMm - headOver(widthMm, widthMm), radius: widthMm };
}

function headOver(w: number, radius: number): number {
  return Math.sqrt(radius ** 2 - (radius - w / 2) ** 2);
}

function pointedOutline(w: number, straight: number, radius: number, head: number): Point[] {
  const spring = head; // y of the springing line
  const left = arc(
    [radius, spring],
    radius,
    Math.PI,
    Math.PI + Math.acos((radius - w / 2) / radius),
    2,
  );
  const right = left.map(([x, y]): Point => [w - x, y]).reverse();
  return resample(
    [...left, ...right.slice(1), [w, spring + straight], [0, spring + straight], left[0]!],
    2,
  ).slice(0, -1);
}
