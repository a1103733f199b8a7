/** A draped shape on a ground: irregular pieces, curved leads, mending leads. */
import type { Curve, Design, SizeWish } from '../curve.js';
import type { Point, Polyline } from '../polyline.js';
import { resample } from '../polyline.js';
import type { RandomStream } from '../random-stream.js';
import { chooseWidths, rectangularBorder, type Widths } from './border.js';
import { byHand, rectangle } from './region-curves.js';
import { bowed, splitRegion } from './split-region.js';

export function figure(random: RandomStream, wish?: SizeWish): Design {
  const widths = chooseWidths(random);
  const size = [random.between(340, 440), random.between(440, 580)] as const;
  const sizeMm = wish ?? size;
  const { curves, inside } = rectangularBorder(random, sizeMm, widths, random.chance(0.3));
  curves.push(...irregular(random, inside, widths, random.whole(34, 62)));
  return { style: 'figure', sizeMm, outline: rectangle(0, 0, ...sizeMm), curves };
}

/** Two long sinuous leads first (the edges of the figure), then splits; the last few are mending leads. */
export function irregular(
  random: RandomStream,
  region: Polyline,
  widths: Widths,
  pieces: number,
): Curve[] {
  const xs = region.map((p) => p[0]);
  const ys = region.map((p) => p[1]);
  const [x0, x1, y0, y1] = [Math.min(...xs), Math.max(...xs), Math.min(...ys), Math.max(...ys)];
  const first = splitRegion(random, region, { pieces, bow: 0.2, clearanceMm: 11 });
  const mending = random.whole(0, 4);
  const curves = first.map((line, i): Curve => {
    const late = i >= first.length - mending;
    return {
      line: overshoot(byHand(random, line, 0.2), 0.6),
      widthMm: late ? widths.mending : random.chance(0.15) ? widths.border : widths.inner,
      kind: late ? 'mending' : 'inner',
    };
  });
  // One came that bends sharply, like a fold of drapery.
  const knee: Point = [random.between(x0 + 60, x1 - 60), random.between(y0 + 90, y1 - 90)];
  const reach = random.between(28, 50);
  const angle = random.between(0, 2 * Math.PI);
  const opening = random.between(0.6, 1.3);
  const arm = (t: number): Point => [knee[0] + reach * Math.cos(t), knee[1] + reach * Math.sin(t)];
  const a = bowed(arm(angle - opening), knee, random.between(-4, 4));
  const b = bowed(knee, arm(angle + opening), random.between(-4, 4));
  curves.push({ line: [...a, ...b.slice(1)], widthMm: widths.inner, kind: 'inner' });
  return curves;
}

/** Both ends a little longer, so that a shaken lead still meets its neighbours. */
export function overshoot(line: readonly Point[], mm: number): Point[] {
  const out = resample(line, 4);
  const extend = (a: Point, b: Point): Point => {
    const d = Math.hypot(a[0] - b[0], a[1] - b[1]);
    return [a[0] + ((a[0] - b[0]) / d) * mm, a[1] + ((a[1] - b[1]) / d) * mm];
  };
  const start = extend(out[0]!, out[1]!);
  const end = extend(out.at(-1)!, out.at(-2)!);
  return [start, ...out.slice(1, -1), end];
}
