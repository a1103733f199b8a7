/** Areas and lines that a hand draws, against figures of school geometry. */
import * as fc from 'fast-check';
import { brushedRings, lineInside, ringsAreaMm2, subtractRings, unionRings } from './clip.js';
import { keyholeRing } from './keyhole.js';
import type { XyMm } from './net.js';
import { polylineLengthMm, ringAreaMm2 } from './ring.js';

const square = (x: number, y: number, side: number): XyMm[] => [
  [x, y],
  [x + side, y],
  [x + side, y + side],
  [x, y + side],
];

describe('a round brush', () => {
  it('covers a disc where it is only set down', () => {
    // π r²; the chords of the rim take up to 0.02 mm of the radius away
    const area = ringsAreaMm2(brushedRings([[40, 30]], 10));
    expect(area).toBeLessThanOrEqual(Math.PI * 25 + 0.02);
    expect(area).toBeGreaterThan(Math.PI * 4.97 ** 2);
  });

  it('covers a band with two half discs along a straight stroke', () => {
    const area = ringsAreaMm2(
      brushedRings(
        [
          [0, 0],
          [60, 0],
        ],
        8,
      ),
    );
    expect(Math.abs(area - (60 * 8 + Math.PI * 16))).toBeLessThan(0.6);
  });

  it('leaves the middle free when it goes round', () => {
    const rings = brushedRings([...square(0, 0, 50), [0, 0]], 6);
    expect(rings).toHaveLength(2);
    // A frame 50 mm along its middle: outside 56 with round corners (r 3), inside 44.
    expect(Math.abs(ringsAreaMm2(rings) - (56 ** 2 - (4 - Math.PI) * 9 - 44 ** 2))).toBeLessThan(1);
  });
});

describe('a line over several pieces', () => {
  it('is cut at their edges, and its stretches add up', () => {
    const line: XyMm[] = [
      [-10, 5],
      [30, 5],
    ];
    const inside = (ring: XyMm[]) =>
      lineInside(line, [ring]).reduce((sum, part) => sum + polylineLengthMm(part), 0);
    expect(inside(square(0, 0, 10))).toBeCloseTo(10, 3);
    expect(inside(square(10, 0, 20))).toBeCloseTo(20, 3);
    expect(inside(square(100, 0, 20))).toBe(0);
  });

  it('comes back in more than one stretch where it leaves and enters again', () => {
    const wave: XyMm[] = [
      [-1, 5],
      [5, 5],
      [5, 15],
      [8, 15],
      [8, 5],
      [20, 5],
    ];
    expect(lineInside(wave, [square(0, 0, 10)])).toHaveLength(2);
  });
});

describe('an area with holes as one ring', () => {
  const isInteger = fc.integer({ min: 1, max: 6 });
  it('has the area of the outside less the holes, however many there are', () => {
    fc.assert(
      fc.property(
        fc.uniqueArray(fc.tuple(isInteger, isInteger), {
          selector: ([x, y]) => `${x} ${y}`,
          maxLength: 12,
        }),
        (places) => {
          const holes = places.map(([x, y]) => square(x * 12, y * 12, 7));
          const ring = keyholeRing(square(0, 0, 100), holes);
          expect(ringAreaMm2(ring)).toBeCloseTo(100 * 100 - holes.length * 49, 6);
          // Clipper unites by winding numbers: a slit that filled a hole would show here.
          expect(ringsAreaMm2(unionRings([ring]))).toBeCloseTo(100 * 100 - holes.length * 49, 1);
        },
      ),
    );
  });

  it('takes what was rubbed out of a brushed area', () => {
    const painted = brushedRings(
      [
        [0, 0],
        [100, 0],
      ],
      40,
    );
    const left = subtractRings(painted, brushedRings([[50, 0]], 10));
    const outside = left.find((ring) => ringAreaMm2(ring) > 0)!;
    const holes = left.filter((ring) => ringAreaMm2(ring) < 0);
    expect(holes).toHaveLength(1);
    expect(ringAreaMm2(keyholeRing(outside, holes))).toBeCloseTo(ringsAreaMm2(left), 6);
  });
});
