import fc from 'fast-check';
import { fitHomography, type PointPair, rootMeanSquare } from './fit-homography.js';
import {
  applyHomography,
  composeHomographies,
  type Homography,
  invertHomography,
  localScale,
  type Xy,
} from './homography.js';
import { RegisterError } from './register-error.js';
import { transferGeometry } from './transfer.js';

const pairsOf = (panel: readonly Xy[], image: readonly Xy[]): PointPair[] =>
  panel.map((panelMm, i) => ({ name: `P${i + 1}`, panelMm, imagePx: image[i]! }));

const CORNERS: Xy[] = [
  [0, 0],
  [1000, 0],
  [1000, 800],
  [0, 800],
];

// Source: worked example WE-49 (direct linear transform, computed with another program), rows of H
// with h33 = 1, tolerance 1e-4 px.
describe('the worked example', () => {
  const { imageFromPanel, panelFromImage, isChecked, worst } = fitHomography(
    pairsOf(CORNERS, [
      [12, 20],
      [988, 35],
      [1010, 790],
      [-5, 770],
    ]),
  );

  it('has the published nine numbers', () => {
    const expected = [
      0.9704594, -0.021010612, 12.0, 0.014803724, 0.90063423, 20.0, -5.6078915e-6, -4.7877619e-5,
      1.0,
    ];
    // Eight significant digits are printed there.
    imageFromPanel.forEach((value, i) => {
      expect(Math.abs(value - expected[i]!)).toBeLessThan(1e-7 * Math.max(1, Math.abs(value)));
    });
  });

  it('maps (500, 400) and back', () => {
    const [u, v] = applyHomography(imageFromPanel, [500, 400]);
    expect(Math.abs(u - 499.79853)).toBeLessThan(1e-4);
    expect(Math.abs(v - 396.35758)).toBeLessThan(1e-4);
    const [x, y] = applyHomography(panelFromImage, [u, v]);
    expect(x).toBeCloseTo(500, 8);
    expect(y).toBeCloseTo(400, 8);
  });

  it('does not pretend that four points check each other', () => {
    expect(isChecked).toBe(false);
    expect(worst).toBeNull();
  });
});

// Source: worked example WE-50 (definition).
it('takes the root of the mean square', () => {
  expect(rootMeanSquare([Math.hypot(0.3, 0.4), 0, Math.hypot(0.6, 0.8), 0])).toBeCloseTo(
    0.559017,
    6,
  );
});

/** A camera that could have been: turned, scaled, tilted a little. */
const camera = fc
  .record({
    angle: fc.double({ min: -Math.PI, max: Math.PI, noNaN: true }),
    scale: fc.double({ min: 0.5, max: 12, noNaN: true }),
    tilt: fc.tuple(
      fc.double({ min: -2e-4, max: 2e-4, noNaN: true }),
      fc.double({ min: -2e-4, max: 2e-4, noNaN: true }),
    ),
    shift: fc.tuple(fc.integer({ min: 0, max: 4000 }), fc.integer({ min: 0, max: 4000 })),
  })
  .map(({ angle, scale, tilt, shift }): Homography => {
    const [c, s] = [Math.cos(angle) * scale, Math.sin(angle) * scale];
    const view: Homography = [c, -s, 0, s, c, 0, tilt[0], tilt[1], 1];
    return composeHomographies([1, 0, shift[0], 0, 1, shift[1], 0, 0, 1], view);
  });
const places: Xy[] = [...CORNERS, [420, 300], [130, 640], [880, 90]];

describe('any camera', () => {
  it('is found again from seven points, to a thousandth of a millimetre', () => {
    fc.assert(
      fc.property(camera, (h) => {
        const fit = fitHomography(
          pairsOf(
            places,
            places.map((p) => applyHomography(h, p)),
          ),
        );
        expect(fit.rmsMm).toBeLessThan(1e-3);
        for (const p of [
          [10, 790],
          [500, 400],
        ] as Xy[]) {
          const back = applyHomography(fit.panelFromImage, applyHomography(h, p));
          expect(Math.hypot(back[0] - p[0], back[1] - p[1])).toBeLessThan(1e-3);
        }
      }),
    );
  });

  it('does not depend on the order of the points', () => {
    fc.assert(
      fc.property(camera, fc.integer({ min: 1, max: 6 }), (h, turn) => {
        const noisy = places.map((p, i): Xy => {
          const [u, v] = applyHomography(h, p);
          return [u + ((i * 7) % 5) - 2, v + ((i * 3) % 5) - 2];
        });
        const pairs = pairsOf(places, noisy);
        const one = fitHomography(pairs);
        const two = fitHomography([...pairs.slice(turn), ...pairs.slice(0, turn)]);
        expect(two.rmsMm).toBeCloseTo(one.rmsMm, 6);
      }),
    );
  });

  it('refined is never worse in pixels than any small change of it', () => {
    fc.assert(
      fc.property(camera, fc.integer({ min: 0, max: 7 }), (h, which) => {
        const image = places.map((p, i): Xy => {
          const [u, v] = applyHomography(h, p);
          return [u + 6 * (((i * 7) % 5) - 2), v + 6 * (((i * 3) % 5) - 2)];
        });
        const { imageFromPanel } = fitHomography(pairsOf(places, image));
        const error = (g: Homography) =>
          places.reduce((sum, p, i) => {
            const [u, v] = applyHomography(g, p);
            return sum + (u - image[i]![0]) ** 2 + (v - image[i]![1]) ** 2;
          }, 0);
        const best = error(imageFromPanel);
        for (const factor of [1 - 1e-6, 1 + 1e-6, 1 - 1e-4, 1 + 1e-4]) {
          const other = imageFromPanel.with(which, imageFromPanel[which]! * factor);
          expect(error(other as unknown as Homography)).toBeGreaterThanOrEqual(best * (1 - 1e-12));
        }
      }),
      { numRuns: 50 },
    );
  });

  it('inverts and composes', () => {
    fc.assert(
      fc.property(camera, camera, (a, b) => {
        const p: Xy = [300, 200];
        const there = applyHomography(a, p);
        const back = applyHomography(invertHomography(a), there);
        expect(Math.hypot(back[0] - 300, back[1] - 200)).toBeLessThan(1e-6);
        const w = b[6] * there[0] + b[7] * there[1] + 1;
        fc.pre(w > 0.1);
        const both = applyHomography(composeHomographies(b, a), p);
        const step = applyHomography(b, there);
        expect(Math.hypot(both[0] - step[0], both[1] - step[1])).toBeLessThan(
          1e-6 * Math.hypot(...step) + 1e-6,
        );
      }),
    );
  });
});

describe('a point tapped 6 mm off', () => {
  it('is named', () => {
    const h: Homography = [4, 0.3, 100, -0.2, 4.1, 80, 1e-5, -2e-5, 1];
    const image = places.map((p): Xy => applyHomography(h, p));
    image[4] = [image[4]![0] + 24, image[4]![1]];
    const { worst, residuals, scalePxPerMm } = fitHomography(pairsOf(places, image));
    expect(worst!.name).toBe('P5');
    expect(worst!.residualMm).toBeGreaterThan(3);
    expect(residuals).toHaveLength(7);
    expect(Math.abs(scalePxPerMm - localScale(h, [500, 400]))).toBeLessThan(0.2);
  });
});

describe('points that fix no view', () => {
  const square: Xy[] = [
    [0, 0],
    [100, 0],
    [100, 100],
    [0, 100],
  ];
  it.each<{ what: string; panel: Xy[]; image: Xy[]; fault: string }>([
    {
      what: 'three',
      panel: square.slice(0, 3),
      image: square.slice(0, 3),
      fault: 'too-few-points',
    },
    {
      what: 'two at one place',
      panel: [
        [0, 0],
        [0, 0],
        [100, 100],
        [0, 100],
      ],
      image: square,
      fault: 'coincident-points',
    },
    {
      what: 'all in one line',
      panel: [
        [0, 0],
        [10, 10],
        [20, 20],
        [30, 30],
      ],
      image: square,
      fault: 'collinear-points',
    },
    {
      what: 'three in one line on the photograph',
      panel: square,
      image: [
        [0, 0],
        [50, 50],
        [100, 100],
        [0, 100],
      ],
      fault: 'collinear-points',
    },
    {
      what: 'not numbers',
      panel: square,
      image: [[Number.NaN, 0], ...square.slice(1)],
      fault: 'not-finite',
    },
    {
      what: 'the other face',
      panel: square,
      image: square.map(([x, y]): Xy => [100 - x, y]),
      fault: 'mirrored',
    },
    {
      what: 'two swapped',
      panel: square,
      image: [square[1]!, square[0]!, square[2]!, square[3]!],
      fault: 'degenerate',
    },
  ])('refuses $what', ({ panel, image, fault }) => {
    let seen: unknown;
    try {
      fitHomography(pairsOf(panel, image));
    } catch (error) {
      seen = error;
    }
    expect(seen).toBeInstanceOf(RegisterError);
    expect(seen).toMatchObject({ fault });
  });
});

describe('transferGeometry', () => {
  const h: Homography = [2, 0, 10, 0, 2, 20, 0, 0, 1];

  it('moves points, lines and rings', () => {
    expect(transferGeometry(h, { kind: 'point', at: [1, 2] })).toEqual({
      kind: 'point',
      at: [12, 24],
    });
    expect(
      transferGeometry(h, {
        kind: 'line',
        line: [
          [0, 0],
          [1, 1],
        ],
      }),
    ).toEqual({
      kind: 'line',
      line: [
        [10, 20],
        [12, 22],
      ],
    });
    expect(
      transferGeometry(h, {
        kind: 'area',
        rings: [
          [
            [0, 0],
            [1, 0],
            [0, 1],
          ],
        ],
      }),
    ).toEqual({
      kind: 'area',
      rings: [
        [
          [10, 20],
          [12, 20],
          [10, 22],
        ],
      ],
    });
  });

  it('refuses what lies beyond the horizon', () => {
    const steep: Homography = [1, 0, 0, 0, 1, 0, -0.01, 0, 1];
    expect(() => transferGeometry(steep, { kind: 'point', at: [200, 0] })).toThrow(RegisterError);
  });
});
