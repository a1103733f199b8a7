import { project } from './homography.js';
import { distort, lensOf } from './lens.js';
import { UNKNOWN_LENS } from './lens-sources.js';
import { bundleMarks, type MarkBundle, type PictureKind } from './mark-bundle.js';
import { spareMeasurements } from './mark-geometry.js';
import { type MarkControl, type MarkPlan, markPlan } from './mark-plan.js';
import { refuseSlips, worstSlip } from './mark-slips.js';
import { RubbingError } from './rubbing-error.js';

// A camera that is known: the sheet's plane 5.2 px to the millimetre, tilted, with a lens of k1 = 0.011.
const IMAGE = { widthPx: 3000, heightPx: 4000 };
const CAMERA = [5.2, 0.12, 260, -0.1, 5.1, 310, 2.1e-5, -3.4e-5, 1];
const LENS = lensOf(IMAGE, 0.011);
const seen = ([x, y]: readonly [number, number]): [number, number] =>
  distort(LENS, ...project(CAMERA, x, y));
const PHOTOGRAPH: PictureKind = { kind: 'photograph' };
const KNOWN_LENS = { k1: 0.011, sigma: 1e-6 };

const MARKS: Record<string, readonly [number, number]> = {
  A: [0, 0],
  B: [402, 3],
  C: [399, 561],
  D: [-4, 557],
  E: [210, -6],
  F: [405, 280],
  G: [203, 566],
};

/** Distances by Pythagoras from the places above, each with the error that `read` adds. */
function distances(
  names: string,
  pairs: readonly string[],
  read: (pair: string, mm: number) => number = (_, mm) => mm,
): Extract<MarkControl, { kind: 'distances' }> {
  return {
    kind: 'distances',
    marks: names.split(''),
    distances: pairs.map((pair) => {
      const [from, to] = [pair[0]!, pair[1]!];
      const [p, q] = [MARKS[from]!, MARKS[to]!];
      return { from, to, mm: read(pair, Math.hypot(p[0] - q[0], p[1] - q[1])) };
    }),
  };
}

function bundled(
  control: MarkControl,
  priors = [KNOWN_LENS],
): { plan: MarkPlan; bundle: MarkBundle } {
  const plan = markPlan(control);
  const px = Float64Array.from(plan.names.flatMap((name) => seen(MARKS[name]!)));
  const sigma = new Float64Array(plan.names.length).fill(0.3);
  return { plan, bundle: bundleMarks(plan, IMAGE, px, sigma, PHOTOGRAPH, priors, 0) };
}

type Eight = [number, number, number, number, number, number, number, number];

/** Largest error of a length between places all over the sheet, by the known camera. */
function lengthErrorMm(bundle: MarkBundle): number {
  const [a, b, c, d, e, f, g, h] = bundle.imageFromPanel as unknown as Eight;
  const back = (mm: readonly [number, number]): [number, number] => {
    const [u, v] = project(CAMERA, ...mm);
    const [p, q, r, s] = [a - u * g, b - u * h, d - v * g, e - v * h];
    const det = p * s - q * r;
    return [((u - c) * s - q * (v - f)) / det, (p * (v - f) - r * (u - c)) / det];
  };
  let worst = 0;
  for (const p of [
    [0, 0],
    [400, 0],
    [120, 260],
  ] as const) {
    for (const q of [
      [400, 560],
      [0, 560],
      [330, 190],
    ] as const) {
      const [px, qx] = [back(p), back(q)];
      const found = Math.hypot(px[0] - qx[0], px[1] - qx[1]);
      worst = Math.max(worst, Math.abs(found - Math.hypot(p[0] - q[0], p[1] - q[1])));
    }
  }
  return worst;
}

const SIX = ['AB', 'BC', 'CD', 'DA', 'AC', 'BD'];
const MANY = [...SIX, 'AE', 'EB', 'EG', 'BF', 'FC', 'FD', 'CG', 'GD', 'AG'];

describe('marks with distances', () => {
  test('exact distances of four marks give back the known camera', () => {
    const { bundle } = bundled(distances('ABCD', SIX));
    expect(lengthErrorMm(bundle)).toBeLessThan(1e-4);
    expect(Math.hypot(bundle.xyMm[0]!, bundle.xyMm[1]!)).toBeLessThan(1e-4);
  });

  test('a rectangle measured 300, 400, 500 is a rectangle (3-4-5 triangle)', () => {
    const control: MarkControl = {
      kind: 'sides_diagonals',
      AB_mm: 300,
      BC_mm: 400,
      CD_mm: 300,
      DA_mm: 400,
      AC_mm: 500,
      BD_mm: 500,
    };
    const plan = markPlan(control);
    const px = Float64Array.of(100, 100, 1600, 100, 1600, 2100, 100, 2100);
    const { xyMm } = bundleMarks(
      plan,
      IMAGE,
      px,
      [0.3, 0.3, 0.3, 0.3],
      PHOTOGRAPH,
      [{ k1: 0, sigma: 1e-6 }],
      0,
    );
    [0, 0, 300, 0, 300, 400, 0, 400].forEach((v, i) => {
      expect(xyMm[i]).toBeCloseTo(v, 4);
    });
  });

  test('seven marks and fifteen distances find the lens as well', () => {
    const { bundle } = bundled({ ...distances('ABCDEFG', MANY), toleranceMm: 0.02 }, [
      UNKNOWN_LENS,
    ]);
    expect(Math.abs(bundle.lens.k1 - 0.011)).toBeLessThan(bundle.sigmaK1);
    expect(bundle.sigmaK1).toBeLessThan(UNKNOWN_LENS.sigma / 3);
    expect(lengthErrorMm(bundle)).toBeLessThan(0.1);
  });

  test('tape noise of half a millimetre neither breaks nor grows, and its size is foretold', () => {
    // readings alternately 0.4 mm long and short, in no order that the marks know
    let k = 0;
    const noisy = distances('ABCDEFG', MANY, (_, mm) => mm + (k++ % 3 === 1 ? -0.5 : 0.3));
    const { plan, bundle } = bundled(noisy);
    expect(worstSlip(plan, bundle)).toBeLessThan(1);
    const error = lengthErrorMm(bundle);
    expect(error).toBeLessThan(0.8);
    const sigma = bundle.lengthSigmaMm(seen([0, 0]), seen([400, 560]));
    expect(sigma).toBeGreaterThan(0.1);
    expect(sigma).toBeLessThan(0.6);
  });

  test('spare measurements: a quadrilateral with six distances has one', () => {
    expect(spareMeasurements(markPlan(distances('ABCD', SIX)), PHOTOGRAPH, false)).toBe(1);
    expect(spareMeasurements(markPlan(distances('ABCD', SIX.slice(0, 5))), PHOTOGRAPH, false)).toBe(
      0,
    );
    expect(spareMeasurements(markPlan(distances('ABCDEFG', MANY)), PHOTOGRAPH, false)).toBe(10);
  });
});

describe('slips', () => {
  const refusal = (control: MarkControl): RubbingError => {
    const { plan, bundle } = bundled(control);
    try {
      refuseSlips(plan, bundle, PHOTOGRAPH);
    } catch (error) {
      if (error instanceof RubbingError) return error;
      throw error;
    }
    throw new Error('expected a refusal');
  };

  test('of many distances the one read 6 mm wrong is named, with how far', () => {
    const error = refusal(distances('ABCDEFG', MANY, (pair, mm) => (pair === 'BD' ? mm + 6 : mm)));
    expect(error.members['distance']).toBe('BD');
    expect(Number(error.members['residualMm'])).toBeCloseTo(6, 0);
    expect(error.message).toContain('Measure BD again');
  });

  test('with one spare measurement a slip is seen and not blamed on one reading', () => {
    const error = refusal(distances('ABCD', SIX, (pair, mm) => (pair === 'AC' ? mm + 20 : mm)));
    expect(error.message).toContain('do not close');
    expect(error.message).toContain('one spare measurement');
    expect(error.members['among']).toContain('AC');
    expect(error.members['among']).toContain('BC');
  });

  test('without a spare measurement a slip cannot be seen, and is not claimed to be', () => {
    const five = SIX.slice(0, 5);
    const { plan, bundle } = bundled(
      distances('ABCD', five, (pair, mm) => (pair === 'AC' ? mm + 5 : mm)),
    );
    expect(worstSlip(plan, bundle)).toBeLessThan(1e-3);
  });

  const withFMoved = (dx: number, dy: number): (() => void) => {
    const plan = markPlan(distances('ABCDEFG', MANY));
    const px = Float64Array.from(plan.names.flatMap((name) => seen(MARKS[name]!)));
    px[2 * plan.names.indexOf('F')]! += dx;
    px[2 * plan.names.indexOf('F') + 1]! += dy;
    const sigma = new Float64Array(7).fill(0.3);
    const bundle = bundleMarks(plan, IMAGE, px, sigma, PHOTOGRAPH, [KNOWN_LENS], 0);
    return () => {
      refuseSlips(plan, bundle, PHOTOGRAPH);
    };
  };

  test('a mark tapped in the wrong place is named, not the distances that end there', () => {
    expect(withFMoved(40, 60)).toThrow(/^Mark F is 1[34]\.\d mm/);
  });

  test('where only one distance would show it, mark and distance are both named', () => {
    // F moved along the line to D: of its distances only FD changes much
    expect(withFMoved(60, 0)).toThrow(/FD or mark F/);
  });
});

describe('what cannot be adjusted', () => {
  const fault = (control: MarkControl): string => {
    try {
      markPlan(control);
    } catch (error) {
      if (error instanceof RubbingError) return `${error.fault}: ${error.message}`;
    }
    return 'accepted';
  };
  test('four distances do not fix four marks', () => {
    expect(fault(distances('ABCD', SIX.slice(0, 4)))).toMatch(/too-few.*five distances/);
  });
  test('a mark that no distance reaches is named', () => {
    expect(fault(distances('ABCDE', SIX))).toMatch(/too-few.*to mark E/);
  });
  test('a distance to a mark that is not there is named', () => {
    const control = distances('ABCD', SIX);
    expect(
      fault({
        ...control,
        distances: [{ from: 'A', to: 'Q', mm: 10 }],
      }),
    ).toMatch(/A–Q/);
  });
  test('three marks, a length of nothing, two marks of one name', () => {
    expect(fault({ kind: 'distances', marks: ['A', 'B', 'C'], distances: [] })).toMatch(/too-few/);
    expect(fault(distances('ABCD', SIX, () => 0))).toMatch(/AB must be above zero/);
    expect(fault({ kind: 'distances', marks: ['A', 'A', 'B', 'C'], distances: [] })).toMatch(
      /name of its own/,
    );
  });
});
