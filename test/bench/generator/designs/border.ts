/** Outer came and a border strip cut by short leads, for rectangular panels. */
import type { Curve } from '../curve.js';
import type { Point, Polyline } from '../polyline.js';
import type { RandomStream } from '../random-stream.js';
import { byHand, closed, rectangle, spanning } from './region-curves.js';

export interface Widths {
  outer: number;
  border: number;
  inner: number;
  /** Used here and there, as a mending lead. */
  mending: number;
}

/** One to three face widths beside the outer came's. */
export function chooseWidths(random: RandomStream): Widths {
  const inner = random.pick([5, 6, 6, 7, 8]);
  return {
    outer: random.pick([10, 12, 12]),
    border: random.pick([inner, inner, 8, 10]),
    inner,
    mending: random.pick([4, 5, 5]),
  };
}

export interface Border {
  curves: Curve[];
  /** Centre line of the lead between border and middle. */
  inside: Point[];
}

export function rectangularBorder(
  random: RandomStream,
  sizeMm: readonly [number, number],
  widths: Widths,
  mitred: boolean,
): Border {
  const [w, h] = sizeMm;
  const o = widths.outer / 2;
  const band = random.between(24, 36) + o;
  const outer = rectangle(o, o, w - o, h - o);
  const inside = rectangle(band, band, w - band, h - band);
  const curves: Curve[] = [];
  const add = (line: Polyline, widthMm: number, kind: Curve['kind'], shake = 0.25): void => {
    curves.push({ line: byHand(random, line, shake), widthMm, kind });
  };
  curves.push({ line: closed(outer).flatMap(spread), widthMm: widths.outer, kind: 'outer' });
  curves.push({ line: closed(inside).flatMap(spread), widthMm: widths.border, kind: 'border' });
  const across = random.chance(0.5) ? widths.inner : widths.border;
  for (let side = 0; side < 4; side++) {
    const a = outer[side]!;
    const b = outer[(side + 1) % 4]!;
    const c = inside[side]!;
    const d = inside[(side + 1) % 4]!;
    const length = Math.hypot(d[0] - c[0], d[1] - c[1]);
    const n = Math.max(2, Math.round(length / random.between(62, 95)));
    if (mitred) add(spanning(a, c, 0.6), across, 'border');
    for (let k = mitred ? 1 : 0; k < n; k++) {
      const t = Math.min(
        0.97,
        Math.max(0.02, (k + (k === 0 ? 0.02 : random.between(-0.18, 0.18))) / n),
      );
      const p: Point = [c[0] + t * (d[0] - c[0]), c[1] + t * (d[1] - c[1])];
      const ux = (b[0] - a[0]) / Math.hypot(b[0] - a[0], b[1] - a[1]);
      const uy = (b[1] - a[1]) / Math.hypot(b[0] - a[0], b[1] - a[1]);
      const depth = band - o;
      add(spanning(p, [p[0] + uy * depth, p[1] - ux * depth]), across, 'border');
    }
  }
  return { curves, inside };
}

/** Straight sides as points every few millimetres, so that they can wobble later. */
function spread(p: Point, i: number, ring: readonly Point[]): Point[] {
  const q = ring[i + 1];
  if (!q) return [p];
  const n = Math.max(1, Math.round(Math.hypot(q[0] - p[0], q[1] - p[1]) / 4));
  return Array.from(
    { length: n },
    (_, k): Point => [p[0] + ((q[0] - p[0]) * k) / n, p[1] + ((q[1] - p[1]) * k) / n],
  );
}
