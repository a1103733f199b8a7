import fc from 'fast-check';
import { isInsideRing, ringAreaMm2, type XyMm } from '#libs/net';
import { ElevationError } from './elevation-error.js';
import { type Opening, openingAreaMm2, openingRingMm, openingSizeMm } from './opening.js';

const equilateral = (widthMm: number, springMm: number): Opening => ({
  kind: 'pointed',
  widthMm,
  heightMm: springMm + (widthMm * Math.sqrt(3)) / 2,
  springMm,
  leftCentreXMm: 0,
  rightCentreXMm: widthMm,
});

// Expected areas: plane geometry, written out beside each row.
describe('openingAreaMm2', () => {
  it.each<{ shape: string; opening: Opening; areaMm2: number }>([
    {
      shape: 'rectangle w·h',
      opening: { kind: 'rectangular', widthMm: 600, heightMm: 1500 },
      areaMm2: 900_000,
    },
    {
      shape: 'round head w·(h - w/2) + π(w/2)²/2',
      opening: { kind: 'round-headed', widthMm: 600, heightMm: 1500 },
      areaMm2: 600 * 1200 + (Math.PI * 300 ** 2) / 2,
    },
    {
      shape: 'circle πd²/4',
      opening: { kind: 'circular', diameterMm: 1000 },
      areaMm2: Math.PI * 250_000,
    },
    {
      // Two 60° sectors of radius w less the triangle counted twice: w²(π/3 - √3/4).
      shape: 'equilateral arch w·s + w²(π/3 - √3/4)',
      opening: equilateral(600, 1000),
      areaMm2: 600 * 1000 + 600 ** 2 * (Math.PI / 3 - Math.sqrt(3) / 4),
    },
    {
      shape: 'polygon (3-4-5)',
      opening: {
        kind: 'polygon',
        ringMm: [
          [0, 0],
          [0, 400],
          [300, 0],
        ],
      },
      areaMm2: 60_000,
    },
  ])('$shape', ({ opening, areaMm2 }) => {
    expect(openingAreaMm2(opening)).toBeCloseTo(areaMm2, 3);
    // The chords of the outline lose at most 0.1 mm along it.
    const ring = openingRingMm(opening);
    const lost = areaMm2 - ringAreaMm2(ring);
    expect(lost).toBeGreaterThanOrEqual(-1e-6 * areaMm2);
    expect(lost).toBeLessThan(0.1 * 5000);
  });

  it('has a lower arch (centres inside the span) by numeric area of a fine outline', () => {
    const opening: Opening = {
      kind: 'pointed',
      widthMm: 800,
      springMm: 500,
      heightMm: 500 + Math.sqrt(500 ** 2 - 100 ** 2),
      leftCentreXMm: 300,
      rightCentreXMm: 500,
    };
    const fine = openingRingMm(opening, { chordErrorMm: 1e-5 });
    expect(openingAreaMm2(opening)).toBeCloseTo(ringAreaMm2(fine), 0);
  });
});

describe('openingRingMm', () => {
  it.each<[string, Opening]>([
    ['rectangular', { kind: 'rectangular', widthMm: 450, heightMm: 2000 }],
    ['round-headed', { kind: 'round-headed', widthMm: 450, heightMm: 2000 }],
    ['pointed', equilateral(450, 1500)],
    ['circular', { kind: 'circular', diameterMm: 900 }],
    [
      'polygon',
      {
        kind: 'polygon',
        ringMm: [
          [10, 20],
          [110, 20],
          [60, 220],
        ],
      },
    ],
  ])('%s: positive, at the origin, as large as it says', (_, opening) => {
    const ring = openingRingMm(opening);
    const { widthMm, heightMm } = openingSizeMm(opening);
    const xs = ring.map(([x]) => x);
    const ys = ring.map(([, y]) => y);
    expect(ringAreaMm2(ring)).toBeGreaterThan(0);
    expect(Math.min(...xs)).toBeCloseTo(0, 6);
    expect(Math.min(...ys)).toBeCloseTo(0, 6);
    expect(Math.max(...xs)).toBeCloseTo(widthMm, 6);
    expect(Math.max(...ys)).toBeCloseTo(heightMm, 6);
  });

  it('keeps to 0.1 mm of the true circle', () => {
    const ring = openingRingMm({ kind: 'circular', diameterMm: 2400 });
    for (let i = 0; i < ring.length; i++) {
      const [a, b] = [ring[i]!, ring[(i + 1) % ring.length]!];
      const middle = Math.hypot((a[0] + b[0]) / 2 - 1200, (a[1] + b[1]) / 2 - 1200);
      expect(1200 - middle).toBeLessThanOrEqual(0.1 + 1e-9);
      expect(Math.hypot(a[0] - 1200, a[1] - 1200)).toBeCloseTo(1200, 9);
    }
  });

  it('puts every point of a pointed head within its two circles', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 200, max: 3000 }),
        fc.integer({ min: 0, max: 5000 }),
        fc.double({ min: 0.55, max: 3, noNaN: true }),
        (widthMm, springMm, reach) => {
          // Symmetric arch: centre of the left arc at reach·w, radius the same.
          const centre = reach * widthMm;
          const rise = Math.sqrt(centre ** 2 - (centre - widthMm / 2) ** 2);
          const opening: Opening = {
            kind: 'pointed',
            widthMm,
            springMm,
            heightMm: springMm + rise,
            leftCentreXMm: widthMm - centre,
            rightCentreXMm: centre,
          };
          const ring = openingRingMm(opening);
          for (const [x, y] of ring) {
            if (y > rise) continue;
            const left = Math.hypot(x - centre, y - rise);
            const right = Math.hypot(x - (widthMm - centre), y - rise);
            expect(Math.max(left, right)).toBeLessThan(centre + 1e-3);
          }
          const middle: XyMm = [widthMm / 2, rise / 2];
          expect(isInsideRing(middle, ring)).toBe(true);
          const other = { ...opening, leftCentreXMm: centre, rightCentreXMm: widthMm - centre };
          expect(openingRingMm(other)).toEqual(ring);
        },
      ),
    );
  });
});

describe('what cannot be built', () => {
  const faultOf = (opening: Opening): ElevationError => {
    try {
      openingRingMm(opening);
    } catch (error) {
      if (error instanceof ElevationError) return error;
      throw error;
    }
    throw new Error('nothing was refused');
  };

  it('refuses a pointed arch whose arcs do not meet at its height, with the height that fits', () => {
    const fault = faultOf({ ...equilateral(600, 1000), heightMm: 1600 } as Opening);
    expect(fault.fault).toBe('arcs-do-not-meet');
    // 1000 + 600·√3/2 = 1519.6
    expect(fault.fitsMm).toBe(1519.6);
    expect(fault.message).toMatch(/1519\.6 mm/);
    expect(() =>
      openingRingMm({ ...equilateral(600, 1000), heightMm: 1519.6 } as Opening),
    ).not.toThrow();
  });

  it.each<{ what: string; opening: Opening; fault: string }>([
    {
      what: 'a height of nothing',
      opening: { kind: 'rectangular', widthMm: 100, heightMm: 0 },
      fault: 'bad-size',
    },
    {
      what: 'a width that is no number',
      opening: { kind: 'rectangular', widthMm: Number.NaN, heightMm: 10 },
      fault: 'bad-size',
    },
    {
      what: 'a round head higher than the opening',
      opening: { kind: 'round-headed', widthMm: 600, heightMm: 200 },
      fault: 'bad-size',
    },
    {
      what: 'two centres in one place',
      opening: { ...equilateral(600, 500), leftCentreXMm: 300, rightCentreXMm: 300 } as Opening,
      fault: 'arcs-do-not-meet',
    },
    {
      what: 'a springing line above the top',
      opening: { ...equilateral(600, 500), springMm: 5000 } as Opening,
      fault: 'bad-size',
    },
    {
      what: 'a polygon that crosses itself',
      opening: {
        kind: 'polygon',
        ringMm: [
          [0, 0],
          [100, 100],
          [100, 0],
          [0, 100],
        ],
      },
      fault: 'ring-crosses',
    },
    {
      what: 'a flat polygon',
      opening: {
        kind: 'polygon',
        ringMm: [
          [0, 0],
          [50, 0],
          [100, 0],
        ],
      },
      fault: 'bad-size',
    },
  ])('refuses $what', ({ opening, fault }) => {
    expect(faultOf(opening).fault).toBe(fault);
  });
});
