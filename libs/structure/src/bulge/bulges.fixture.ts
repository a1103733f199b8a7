/** Bulges with exact truth: shapes in closed form, read with noise on a grid as a hand takes them. */
import type { XyMm } from '#libs/net';
import type { Reading } from './surface.js';

export const PANEL = { widthMm: 600, heightMm: 900 };

export const OUTLINE: readonly XyMm[] = [
  [0, 0],
  [PANEL.widthMm, 0],
  [PANEL.widthMm, PANEL.heightMm],
  [0, PANEL.heightMm],
];

export type Shape = (xMm: number, yMm: number) => number;

const { widthMm: W, heightMm: H } = PANEL;
const gauss = (t: number, width: number) => Math.exp(-((t / width) ** 2) / 2);

/** Looked at when everything else was settled: the method was chosen on domes and a flat panel. */
export const HELD_OUT: Readonly<Record<string, Shape>> = {
  'arc of a cylinder': (x) => Math.sqrt(1812.5 ** 2 - (x - W / 2) ** 2) - (1812.5 - 25),
  'fold along a run of leads': (x, y) =>
    -14 * Math.log(Math.cosh((y - 420 - 0.1 * x) / 60)) * (60 / 250) + 20 + 6 * gauss(x - 300, 250),
  'bays between two bars': (x, y) =>
    9 * Math.sin((Math.PI * x) / W) * Math.abs(Math.sin((3 * Math.PI * y) / H)) ** 1.6,
  'in above, out below': (x, y) =>
    16 * gauss(x - 330, 150) * gauss(y - 260, 130) - 11 * gauss(x - 250, 160) * gauss(y - 680, 140),
  'two domes side by side': (x, y) =>
    12 * gauss(x - 170, 90) * gauss(y - 450, 160) + 10 * gauss(x - 440, 90) * gauss(y - 430, 150),
};

/** Same numbers every time: a linear congruence after Numerical Recipes (from memory), then Box and Muller. */
export function noiseFrom(seed: number): () => number {
  let state = seed >>> 0;
  const even = () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return (state + 0.5) / 2 ** 32;
  };
  for (let i = 0; i < 8; i++) even();
  return () => Math.sqrt(-2 * Math.log(even())) * Math.cos(2 * Math.PI * even());
}

/** Read every `stepMm` or somewhat less, edges included, each place some 1 mm off where it is said to be. */
export function readingsOf(
  shape: Shape,
  { stepMm, noiseMm, seed }: { stepMm: number; noiseMm: number; seed: number },
): Reading[] {
  const noise = noiseFrom(seed);
  const [columns, rows] = [Math.ceil(W / stepMm), Math.ceil(H / stepMm)];
  const readings: Reading[] = [];
  for (let j = 0; j <= rows; j++) {
    for (let i = 0; i <= columns; i++) {
      const [x, y] = [(i * W) / columns, (j * H) / rows];
      const out = shape(x + noise(), y + noise()) + noiseMm * noise();
      readings.push([x, y, Math.round(out * 10) / 10]);
    }
  }
  return readings;
}

/** The highest and the lowest that a shape is within the panel, to a hundredth of a millimetre or better. */
export function truthOf(shape: Shape): { high: number; low: number } {
  let [high, low] = [Number.NEGATIVE_INFINITY, Number.POSITIVE_INFINITY];
  for (let y = 0; y <= H; y += 1) {
    for (let x = 0; x <= W; x += 1) {
      const here = shape(x, y);
      high = Math.max(high, here);
      low = Math.min(low, here);
    }
  }
  return { high, low };
}
