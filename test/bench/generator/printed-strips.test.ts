import { expect, it } from '@jest/globals';
import { targetLayout } from '#libs/rubbing';
import type { Point } from './polyline.js';
import { layStrips, printStrips, STRIP_MARGIN_MM } from './printed-strips.js';
import { randomStream } from './random-stream.js';
import { makeSheet } from './sheet.js';

const SIZE = [360, 470] as const;
/** The least margin that a sheet has without strips. */
const USUAL_MARGIN_MM = 31;
const [LONG, HIGH] = targetLayout('A4').stripMm;

function corners({ atMm, turn }: ReturnType<typeof layStrips>[number]): Point[] {
  const [cos, sin] = [Math.cos(turn), Math.sin(turn)];
  return [
    [0, 0],
    [LONG, 0],
    [LONG, HIGH],
    [0, HIGH],
  ].map(([x, y]): Point => [atMm[0] + cos * x! - sin * y!, atMm[1] + sin * x! + cos * y!]);
}

it('lays one strip along each side, beside the panel and on the sheet', () => {
  const room = USUAL_MARGIN_MM + STRIP_MARGIN_MM;
  for (let k = 0; k < 200; k++) {
    const sides = layStrips(randomStream(`strips ${k}`), SIZE).map((strip) => {
      const all = corners(strip);
      for (const [x, y] of all) {
        expect(Math.min(x, y, SIZE[0] - x, SIZE[1] - y)).toBeGreaterThan(-room);
      }
      return [
        all.every(([, y]) => y < 0),
        all.every(([x]) => x > SIZE[0]),
        all.every(([, y]) => y > SIZE[1]),
        all.every(([x]) => x < 0),
      ];
    });
    expect(sides).toEqual([0, 1, 2, 3].map((side) => [0, 1, 2, 3].map((other) => other === side)));
  }
});

it('hides the rubbing under white paper with black squares, and leaves the rest as it is', () => {
  const sheet = makeSheet(SIZE, [60, 60, 60, 60], 2);
  const tone = new Float32Array(sheet.widthPx * sheet.heightPx).fill(0.5);
  const [strip] = layStrips(randomStream('one strip'), SIZE);
  printStrips(sheet, tone, [strip!]);
  const share = (is: (v: number) => boolean): number =>
    tone.filter(is).length / sheet.pxPerMm ** 2 / (LONG * HIGH);
  expect(share((v) => v !== 0.5)).toBeCloseTo(1, 1);
  // seven tags of 16 mm, of whose 8 × 8 cells the 28 of the frame are black
  const frames = (7 * 16 ** 2 * 28) / 64 / (LONG * HIGH);
  expect(share((v) => v < 0.3)).toBeGreaterThan(frames);
  expect(share((v) => v > 0.9)).toBeGreaterThan(0.7);
});
