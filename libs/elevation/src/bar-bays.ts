/** What each bar of a window holds: its free lengths, and how high the glass is that leans on it. */
import type { XyMm } from '#libs/net';
import { openingRingMm } from './opening.js';
import type { WindowDrawing } from './window-drawing.js';

export interface BarBay {
  readonly mark: string;
  /** Clear width of each light that the bar crosses, from the left: it goes on over the stone between. */
  readonly spansMm: readonly number[];
  /** Half of the glass up to the next bar, or the head, and half of that down to the next, or the sill. */
  readonly tributaryMm: number;
}

/** A bar that only touches a light holds nothing there. */
const LEAST_SPAN_MM = 1;

/**
 * In the order of the drawing. A bar that crosses no light has no spans. Where lights differ in
 * height, the tallest bay counts for the whole bar.
 */
export function barBays({ lights, bars }: Pick<WindowDrawing, 'lights' | 'bars'>): BarBay[] {
  const outlines = lights.map(({ xMm, yMm, opening }) =>
    openingRingMm(opening).map(([x, y]): XyMm => [x + xMm, y + yMm]),
  );
  return bars.map((bar) => {
    const crossed = outlines.flatMap((ring) => {
      const span = clearSpan(ring, bar);
      return span === undefined ? [] : [{ ring, ...span }];
    });
    crossed.sort((a, b) => a.leftMm - b.leftMm);
    const tributaries = crossed.map(({ ring, leftMm, rightMm }) => {
      const middle = (leftMm + rightMm) / 2;
      const others = bars.filter(
        (other) => other !== bar && other.fromXMm <= middle && other.toXMm >= middle,
      );
      const ys = ring.map(([, y]) => y);
      const above = Math.max(
        Math.min(...ys),
        ...others.map(({ yMm }) => yMm).filter((y) => y < bar.yMm),
      );
      const below = Math.min(
        Math.max(...ys),
        ...others.map(({ yMm }) => yMm).filter((y) => y > bar.yMm),
      );
      return (below - above) / 2;
    });
    return {
      mark: bar.mark,
      spansMm: crossed.map(({ leftMm, rightMm }) => rightMm - leftMm),
      tributaryMm: Math.max(0, ...tributaries),
    };
  });
}

/** Where the bar is over the light's glass; undefined where it is not. */
function clearSpan(
  ring: readonly XyMm[],
  bar: { yMm: number; fromXMm: number; toXMm: number },
): { leftMm: number; rightMm: number } | undefined {
  const xs = ring.flatMap(([x0, y0], i) => {
    const [x1, y1] = ring[(i + 1) % ring.length]!;
    if (y0 <= bar.yMm === y1 <= bar.yMm) return [];
    return [x0 + ((bar.yMm - y0) / (y1 - y0)) * (x1 - x0)];
  });
  if (xs.length < 2) return undefined;
  const leftMm = Math.max(bar.fromXMm, Math.min(...xs));
  const rightMm = Math.min(bar.toXMm, Math.max(...xs));
  return rightMm - leftMm > LEAST_SPAN_MM ? { leftMm, rightMm } : undefined;
}
