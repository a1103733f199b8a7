/** Two sheets drawn from one invented lead pattern, so that the true place of one on the other is known exactly. */
import { makePlane } from '#libs/raster';
import { joinSheets } from './join-sheets.js';
import { placeSheets } from './place-sheets.js';
import { moved, type Rigid, rigid } from './rigid.js';
import type { WaxSheet } from './wax-picture.js';

const PX_PER_MM = 2;

/** Distance to the nearest lead of an irregular net of straight leads, 300 × 360 mm. */
function leadDistanceMm(x: number, y: number): number {
  let least = Infinity;
  for (const [nx, ny, d] of [
    [1, 0, 12],
    [1, 0, 118],
    [1, 0, 203],
    [1, 0, 288],
    [0, 1, 10],
    [0, 1, 131],
    [0, 1, 197],
    [0, 1, 349],
    [0.8, 0.6, 170],
    [0.6, -0.8, 20],
    [0.96, 0.28, 260],
  ] as const) {
    least = Math.min(least, Math.abs(nx * x + ny * y - d));
  }
  return least;
}

/** Wax along the leads with grain of its own, on a sheet that lies at `place` on the panel. */
function sheet(place: Rigid, widthMm: number, heightMm: number, seed: number): WaxSheet {
  const density = makePlane(widthMm * PX_PER_MM, heightMm * PX_PER_MM);
  let state = seed;
  for (let v = 0; v < density.height; v++) {
    for (let u = 0; u < density.width; u++) {
      state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
      const [x, y] = moved(place, u / PX_PER_MM, v / PX_PER_MM);
      const wax = Math.min(1, Math.max(0, 3.5 - leadDistanceMm(x, y)));
      density.data[v * density.width + u] = wax * (0.25 + (0.6 * state) / 2 ** 32);
    }
  }
  return { density, pxPerMm: PX_PER_MM, originMm: [0, 0] };
}

const upper = rigid(0, 0, 0);
const lower = rigid((-1.4 * Math.PI) / 180, 6, 150);
const first = sheet(upper, 300, 220, 1);
const second = sheet(lower, 290, 210, 2);

describe('sheets in frames of their own', () => {
  test('are found on one another to 0.2 mm and 0.1°, turned and shifted', () => {
    const placed = placeSheets([
      { wax: first, isMeasuredFrame: false },
      { wax: second, isMeasuredFrame: false },
    ]);
    for (const [x, y] of [
      [0, 0],
      [290, 0],
      [145, 60],
    ] as const) {
      const [fx, fy] = moved(placed[1]!.place, x, y);
      const [tx, ty] = moved(lower, x, y);
      expect(Math.hypot(fx - tx, fy - ty)).toBeLessThan(0.2);
    }
    expect(placed[1]!.join!.turnedDeg).toBeCloseTo(-1.4, 1);
    expect(placed[1]!.join!.correlation).toBeGreaterThan(0.8);
    expect(placed[0]!.join).toBeNull();
  }, 120_000);

  test('that show different leads are refused with the agreement reached', () => {
    const stranger = sheet(rigid(0.7, 700, -500), 290, 210, 3);
    expect(() =>
      placeSheets([
        { wax: first, isMeasuredFrame: false },
        { wax: stranger, isMeasuredFrame: false },
      ]),
    ).toThrow(/sheets 1 and 2/i);
  }, 120_000);

  test('whose marks put the same leads 5 mm apart are refused with the distance', () => {
    const off = sheet(rigid(0, 5, 0), 300, 220, 4);
    expect(() =>
      placeSheets([
        { wax: first, isMeasuredFrame: true },
        { wax: off, isMeasuredFrame: true },
      ]),
    ).toThrow('5.0 mm apart by their marks');
  }, 120_000);
});

test('sheets laid together show no seam: even wax stays even across the edge of either', () => {
  const even = (widthMm: number): WaxSheet => {
    const density = makePlane(widthMm * PX_PER_MM, 100);
    density.data.fill(0.5);
    return { density, pxPerMm: PX_PER_MM, originMm: [0, 0] };
  };
  const layer = (wax: WaxSheet, place: Rigid) => ({
    wax,
    grey: new Uint8Array(wax.density.data.length).fill(120),
    place,
  });
  const joined = joinSheets(
    [layer(even(100), rigid(0, 0, 0)), layer(even(90), rigid(0, 60, 0))],
    0,
  );
  expect(joined.density.width / PX_PER_MM).toBeCloseTo(149.5, 0);
  const middle = joined.density.data.subarray(
    50 * joined.density.width + 10,
    51 * joined.density.width - 10,
  );
  expect(Math.min(...middle)).toBeCloseTo(0.5, 5);
  expect(Math.max(...middle)).toBeCloseTo(0.5, 5);
});
