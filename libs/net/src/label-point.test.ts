import fc from 'fast-check';
import { labelPoint } from './label-point.js';
import type { XyMm } from './net.js';

const rectangle = (width: number, height: number): XyMm[] => [
  [0, 0],
  [width, 0],
  [width, height],
  [0, height],
];

// Plane geometry: incircle of the figure.
describe('labelPoint', () => {
  it('is the incentre of a 3-4-5 triangle, radius 1 (here times 30)', () => {
    const { xyMm, radiusMm } = labelPoint(
      [
        [
          [0, 0],
          [120, 0],
          [0, 90],
        ],
      ],
      0.05,
    );
    expect(Math.abs(radiusMm - 30)).toBeLessThanOrEqual(0.05);
    expect(Math.hypot(xyMm[0] - 30, xyMm[1] - 30)).toBeLessThan(1);
  });

  it('sits in the middle of a rectangle, however long', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 3000 }),
        fc.integer({ min: 1, max: 3000 }),
        (width, height) => {
          const { xyMm, radiusMm } = labelPoint([rectangle(width, height)]);
          expect(xyMm).toEqual([width / 2, height / 2]);
          expect(radiusMm).toBeCloseTo(Math.min(width, height) / 2, 9);
        },
      ),
    );
  });

  it('lies in the larger arm of an L, and beside a hole', () => {
    const l: XyMm[] = [
      [0, 0],
      [20, 0],
      [20, 60],
      [100, 60],
      [100, 100],
      [0, 100],
    ];
    const { xyMm } = labelPoint([l]);
    expect(xyMm[1]).toBeGreaterThan(60);
    const hole = rectangle(40, 40).map(([x, y]): XyMm => [x + 10, y + 10]);
    const beside = labelPoint([rectangle(100, 60), hole]);
    expect(beside.xyMm[0]).toBeGreaterThan(50);
    expect(beside.radiusMm).toBeCloseTo(25, 0);
  });

  it('is found at once in a sliver two metres long and a hundredth wide', () => {
    expect(labelPoint([rectangle(2000, 0.01)]).radiusMm).toBeCloseTo(0.005, 6);
  });
});
