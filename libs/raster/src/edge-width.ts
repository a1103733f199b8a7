import type { Plane } from './plane.js';

export interface EdgeWidth {
  /** Distance over which the sharpest clear edges rise from 10 to 90 % of their height, across the edge. */
  readonly widthPx: number;
  /** Edges that were measured. */
  readonly edges: number;
}

/** An edge must rise by this share of the picture's range (5th to 95th percentile), and by this much at least. */
const LEAST_RISE_SHARE = 0.35;
const LEAST_RISE = 20;
/** Of all clear edges the sharper part tells the focus; the others may be soft in themselves. */
const SHARPER_SHARE = 0.25;
const LEAST_EDGES = 30;
/** Falls this small within a rise are noise. */
const NOISE = 2;

/**
 * How sharp a picture is, by its own edges: a Gaussian blur of standard deviation s makes a step rise
 * from 10 to 90 % over 2.563 s (twice the normal distribution's 90 % quantile, 1.2816).
 *
 * @param plane brightness, 0 to 255
 * @returns undefined where the picture has too few clear edges to tell
 */
export function edgeWidth(plane: Plane): EdgeWidth | undefined {
  const range = rangeOf(plane);
  const least = Math.max(LEAST_RISE, LEAST_RISE_SHARE * range);
  const widths = [
    ...widthsAlong(plane, 1, plane.width, plane.width, plane.height, least),
    ...widthsAlong(plane, plane.width, plane.height, 1, plane.width, least),
  ].sort((a, b) => a - b);
  if (widths.length < LEAST_EDGES) return undefined;
  return { widthPx: widths[Math.floor(SHARPER_SHARE * widths.length)]!, edges: widths.length };
}

function rangeOf({ data }: Plane): number {
  const counts = new Uint32Array(256);
  for (const value of data) counts[Math.min(255, Math.max(0, Math.round(value)))]!++;
  const at = (share: number): number => {
    let left = share * data.length;
    for (let level = 0; level < 256; level++) {
      left -= counts[level]!;
      if (left <= 0) return level;
    }
    return 255;
  };
  return at(0.95) - at(0.05);
}

/** Rises along lines of `n` values `step` apart, `lines` of them `lineStep` apart. */
function widthsAlong(
  { data }: Plane,
  step: number,
  n: number,
  lineStep: number,
  lines: number,
  least: number,
): number[] {
  const widths: number[] = [];
  for (let line = 1; line + 1 < lines; line++) {
    const start = line * lineStep;
    const at = (k: number): number => data[start + k * step]!;
    let from = 0;
    for (let k = 1; k < n; k++) {
      const sign = Math.sign(at(k) - at(from));
      let to = k;
      let best = at(k) * sign;
      let bestAt = k;
      while (to + 1 < n && at(to + 1) * sign >= best - NOISE) {
        to++;
        if (at(to) * sign > best) {
          best = at(to) * sign;
          bestAt = to;
        }
        if (to - bestAt > 3) break;
      }
      const low = at(from);
      const high = at(bestAt);
      if (sign !== 0 && Math.abs(high - low) >= least) {
        const width = riseOver(at, from, bestAt, low, high);
        const middle = Math.round(width.middle);
        const along = Math.abs(at(Math.min(n - 1, middle + 1)) - at(Math.max(0, middle - 1)));
        const i = start + middle * step;
        const across = Math.abs(data[i + lineStep]! - data[i - lineStep]!);
        // steeper across than along: the other direction measures this edge
        if (across <= along) widths.push(width.lengthPx * (along / Math.hypot(along, across)));
      }
      from = bestAt;
      k = bestAt;
    }
  }
  return widths;
}

function riseOver(
  at: (k: number) => number,
  from: number,
  to: number,
  low: number,
  high: number,
): { lengthPx: number; middle: number } {
  const crossing = (share: number): number => {
    const wanted = low + share * (high - low);
    for (let k = from; k < to; k++) {
      const [a, b] = [at(k), at(k + 1)];
      if ((a - wanted) * (b - wanted) <= 0 && a !== b) return k + (wanted - a) / (b - a);
    }
    return to;
  };
  const [first, last] = [crossing(0.1), crossing(0.9)];
  return { lengthPx: Math.max(0, last - first), middle: (first + last) / 2 };
}
