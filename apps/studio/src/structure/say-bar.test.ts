import { barRows } from './say-bar.js';

const QUESTION = {
  section: { shape: 'round', diameterMm: 12 },
  material: 'steel',
  ends: 'resting',
  windMPerS: 24,
  warmerK: 60,
  limit: 360,
} as const;

it('reckons a bar of one light as the handbook does', () => {
  // 5 w L⁴ / 384 E I for 360 Pa over bays of 300 mm and 600 mm of steel bar: 0.8526 mm, 28.65 MPa
  const [row] = barRows([{ mark: 'bar-1', spansMm: [600], tributaryMm: 300 }], QUESTION);
  expect(row!.deflectionMm).toBeCloseTo(0.8526, 3);
  expect(row!.stressMPa).toBeCloseTo(28.65, 2);
  expect(row!.reactionN).toBeCloseTo((0.108 * 600) / 2, 6);
  expect(row!.isBeyond).toBe(false);
});

it('tells which bar bends more than the limit, and leaves out one that crosses no glass', () => {
  const rows = barRows(
    [
      { mark: 'bar-1', spansMm: [900], tributaryMm: 450 },
      { mark: 'bar-2', spansMm: [], tributaryMm: 0 },
    ],
    QUESTION,
  );
  expect(rows.map(({ mark, isBeyond }) => [mark, isBeyond])).toEqual([['bar-1', true]]);
});
