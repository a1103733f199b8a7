import type { XyMm } from '#libs/net';
import { thicknessContours, thicknessMap } from '../index.js';

const RING: readonly XyMm[] = [
  [0, 0],
  [100, 0],
  [100, 80],
  [0, 80],
];
const gauged = (...rows: readonly (readonly [number, number, number])[]) =>
  rows.map(([x, y, thicknessMm]) => ({ xyMm: [x, y] as const, thicknessMm }));

/** SciPy 1.17.1, RBFInterpolator(points, thicknesses, kernel='thin_plate_spline'). */
const READ = gauged(
  [12, 10, 4.2],
  [88, 14, 6.8],
  [50, 40, 9.5],
  [20, 72, 5.1],
  [80, 70, 7.7],
  [48, 12, 5.0],
  [52, 75, 8.9],
);
const REFERENCE = [
  [30, 30, 6.7314],
  [70, 25, 7.638289],
  [40, 60, 8.599984],
  [25, 50, 6.858269],
] as const;

it('is the thin-plate spline of the readings', () => {
  const map = thicknessMap(READ, RING);
  for (const [x, y, thicknessMm] of REFERENCE)
    expect(map.thicknessMmAt([x, y])).toBeCloseTo(thicknessMm, 5);
  for (const { xyMm, thicknessMm } of READ)
    expect(map.thicknessMmAt(xyMm)).toBeCloseTo(thicknessMm, 9);
});

it('never goes beyond what was gauged', () => {
  // the spline itself stands at 9.673222 here (SciPy)
  expect(thicknessMap(READ, RING).thicknessMmAt([60, 50])).toBe(9.5);
  expect(thicknessMap(READ, RING)).toMatchObject({ lowMm: 4.2, highMm: 9.5, from: 'surface' });
});

it('has the mean of a wedge at the middle of its outline, wherever it was gauged most', () => {
  // plane geometry: the mean of a plane over an area is its height over the centroid
  const wedge = (x: number, y: number) => 3 + x / 20 + y / 40;
  const crowded = [
    [0, 0],
    [100, 0],
    [100, 80],
    [0, 80],
    [2, 3],
    [5, 2],
    [4, 6],
    [7, 7],
  ] as const;
  const map = thicknessMap(gauged(...crowded.map(([x, y]) => [x, y, wedge(x, y)] as const)), RING);
  expect(map.meanMm).toBeCloseTo(wedge(50, 40), 6);
});

it('takes the plain mean where the readings tell no surface, and draws no lines then', () => {
  const inLine = gauged([10, 10, 4], [20, 20, 6], [30, 30, 5]);
  for (const points of [gauged([10, 10, 4]), gauged([10, 10, 4], [50, 50, 8]), inLine]) {
    const map = thicknessMap(points, RING);
    expect(map.from).toBe('mean');
    expect(map.meanMm).toBeCloseTo(
      points.reduce((sum, one) => sum + one.thicknessMm, 0) / points.length,
      12,
    );
    expect(thicknessContours(map, 1)).toEqual([]);
  }
});

it('counts readings of one place once', () => {
  const twice = gauged([0, 0, 4], [0.2, 0, 6], [100, 0, 5], [0, 80, 5], [100, 80, 5]);
  expect(thicknessMap(twice, RING).thicknessMmAt([0, 0])).toBeCloseTo(5, 9);
});

it('draws lines along which the thickness is the same', () => {
  const map = thicknessMap(READ, RING);
  const lines = thicknessContours(map, 1);
  expect(lines.map(({ level }) => level)).toEqual(expect.arrayContaining([5, 6, 7, 8, 9]));
  for (const { level, line } of lines)
    for (const place of line) expect(Math.abs(map.thicknessMmAt(place) - level)).toBeLessThan(0.05);
});

// by hand: from 4 to 6 mm there is one whole millimetre between
it('draws no rim where the map goes level beyond the thinnest and the thickest reading', () => {
  const map = thicknessMap(gauged([20, 20, 4], [80, 20, 6], [50, 60, 5]), RING);
  expect(new Set(thicknessContours(map, 1).map(({ level }) => level))).toEqual(new Set([5]));
});
