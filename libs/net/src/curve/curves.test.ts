import fc from 'fast-check';
import type { CurvePart, XyMm } from '../net.js';
import { distanceToSegmentMm } from '../ring.js';
import { bulgeVertices } from './bulges.js';
import {
  type Curve,
  curveLengthMm,
  curvePoints,
  directionOfPart,
  placeCurve,
  reverseCurve,
} from './curve-parts.js';
import { fitCurve, fitRing } from './fit-curve.js';
import { leadCurves, RUNS_THROUGH_DEG } from './lead-curves.js';

/** Points every millimetre or so along y(x) or a place of t. */
function along(place: (t: number) => XyMm, steps: number): XyMm[] {
  return Array.from({ length: steps + 1 }, (_, i) => place(i / steps));
}

function offLine(p: XyMm, line: readonly XyMm[]): number {
  let least = Infinity;
  for (let i = 1; i < line.length; i++) {
    least = Math.min(least, distanceToSegmentMm(p, line[i - 1]!, line[i]!));
  }
  return least;
}

/** Largest distance between a line and a curve, both ways: by brute force over dense points. */
function apartMm(line: readonly XyMm[], curve: Curve): number {
  const points = curvePoints(curve, 0.002);
  return Math.max(...points.map((p) => offLine(p, line)), ...line.map((p) => offLine(p, points)));
}

/** Largest turn between parts, in degrees. */
function sharpestDeg({ fromMm, parts }: Curve): number {
  let sharpest = 0;
  let from = fromMm;
  parts.forEach((part, i) => {
    const next = parts[i + 1];
    if (next !== undefined) {
      const a = directionOfPart(from, part, 'end');
      const b = directionOfPart(part.toMm, next, 'start');
      sharpest = Math.max(sharpest, degBetween(a, b));
    }
    from = part.toMm;
  });
  return sharpest;
}

function degBetween(a: XyMm, b: XyMm): number {
  const cosine = Math.min(1, Math.max(-1, a[0] * b[0] + a[1] * b[1]));
  return (Math.acos(cosine) * 180) / Math.PI;
}

const fitted = (line: XyMm[], toleranceMm = 0.1): Curve => ({
  fromMm: line[0]!,
  parts: fitCurve(line, toleranceMm),
});
const kinds = ({ parts }: Curve) => parts.map((part) => part.kind);

// Expected values: plane geometry of the line, circle and Bézier that the points are taken from.
describe('a curve fitted to points', () => {
  it('is one line along a straight lead', () => {
    const curve = fitted(along((t) => [10 + 90 * t, 20 + 40 * t], 100));
    expect(curve.parts).toEqual([{ kind: 'line', toMm: [100, 60] }]);
  });

  it('is one arc round a tracery foil, with the centre that it was drawn about', () => {
    const curve = fitted(along((t) => [50 + 40 * Math.cos(t * 2), 30 + 40 * Math.sin(t * 2)], 60));
    expect(kinds(curve)).toEqual(['arc']);
    const arc = curve.parts[0] as CurvePart & { kind: 'arc' };
    expect(Math.hypot(arc.centreMm[0] - 50, arc.centreMm[1] - 30)).toBeLessThan(0.01);
    // From +x towards +y: clockwise on a drawing whose y points down.
    expect(arc.clockwise).toBe(true);
    expect(curveLengthMm(curve)).toBeCloseTo(80, 2);
  });

  it('is two arcs for two foils that flow into each other', () => {
    const line = [
      ...along((t) => [40 * Math.sin(t), 40 - 40 * Math.cos(t)], 40),
      ...along((t): XyMm => {
        const [cx, cy] = [40 * Math.sin(1) + 25 * Math.sin(1), 40 - 65 * Math.cos(1)];
        return [cx - 25 * Math.sin(1 - t), cy + 25 * Math.cos(1 - t)];
      }, 25).slice(1),
    ];
    const curve = fitted(line);
    expect(curve.parts.length).toBeLessThanOrEqual(2);
    expect(sharpestDeg(curve)).toBeLessThanOrEqual(0.5);
    expect(apartMm(line, curve)).toBeLessThanOrEqual(0.15);
  });

  it('is one Bézier where the points come from one', () => {
    const truth: Curve = {
      fromMm: [0, 0],
      parts: [{ kind: 'cubic', c1Mm: [30, 0], c2Mm: [40, 50], toMm: [90, 40] }],
    };
    const line = curvePoints(truth, 0.002);
    const curve = fitted(line);
    expect(kinds(curve)).toEqual(['cubic']);
    expect(apartMm(line, curve)).toBeLessThanOrEqual(0.1);
  });

  it('keeps a corner', () => {
    const line: XyMm[] = [
      ...along((t) => [60 * t, 0], 30),
      ...along((t) => [60, 50 * t], 30).slice(1),
    ];
    expect(fitted(line).parts).toEqual([
      { kind: 'line', toMm: [60, 0] },
      { kind: 'line', toMm: [60, 50] },
    ]);
  });

  it('stays within 0.15 mm of any lead, smooth, with far fewer parts than points', () => {
    const wave = fc.record({
      amplitude: fc.double({ min: 0, max: 12, noNaN: true }),
      turns: fc.double({ min: 0.1, max: 1.6, noNaN: true }),
      phase: fc.double({ min: 0, max: 6, noNaN: true }),
      // Long enough for the turns that no bend is a corner.
      lengthMm: fc.double({ min: 60, max: 250, noNaN: true }),
      noise: fc.array(fc.double({ min: -0.03, max: 0.03, noNaN: true }), {
        minLength: 64,
        maxLength: 64,
      }),
    });
    fc.assert(
      fc.property(wave, ({ amplitude, turns, phase, lengthMm, noise }) => {
        const steps = Math.max(12, Math.round(lengthMm));
        const swing = Math.min(amplitude, lengthMm / (8 * turns));
        const line = along(
          (t) => [
            t * lengthMm,
            swing * Math.sin(phase + 2 * Math.PI * turns * t) + noise[Math.round(t * steps) % 64]!,
          ],
          steps,
        );
        const curve = fitted(line);
        expect(apartMm(line, curve)).toBeLessThanOrEqual(0.15);
        expect(sharpestDeg(curve)).toBeLessThanOrEqual(0.5);
        expect(curve.parts.length).toBeLessThanOrEqual(2 + 6 * turns + steps / 20);
        expect(curve.parts.at(-1)!.toMm[0]).toBeCloseTo(lengthMm, 2);
      }),
      { numRuns: 60, endOnFailure: true },
    );
  });

  it('goes round a ring: a circle as arcs, a square as four lines', () => {
    const circle = along((t) => [20 * Math.cos(6.2831853 * t), 20 * Math.sin(6.2831853 * t)], 90);
    const round = fitRing(circle.slice(0, -1), 0.05);
    expect(new Set(kinds(round))).toEqual(new Set(['arc']));
    expect(round.parts.length).toBeLessThanOrEqual(3);
    expect(curveLengthMm(round)).toBeCloseTo(2 * Math.PI * 20, 0);
    const square = fitRing(
      [
        [0, 0],
        [50, 0],
        [50, 50],
        [0, 50],
      ],
      0.05,
    );
    expect(kinds(square)).toEqual(['line', 'line', 'line', 'line']);
    expect(curveLengthMm(square)).toBeCloseTo(200, 6);
  });
});

describe('leads that meet', () => {
  /** Two leads in a row that turn by `deg` where they meet, and a third across. */
  const meeting = (deg: number, bend: number) => {
    const a = (deg * Math.PI) / 180;
    const first = along((t) => [-60 + 60 * t, bend * Math.sin(Math.PI * t)], 60);
    const second = along((t) => [70 * t * Math.cos(a), 70 * t * Math.sin(a)], 60);
    return leadCurves(
      [
        { from: 0, to: 1, kind: 'came', lineMm: first },
        { from: 1, to: 2, kind: 'came', lineMm: second },
        { from: 1, to: 3, kind: 'came', lineMm: along((t) => [0, 50 * t], 40) },
      ],
      4,
    ).map((parts, i) => ({ fromMm: [first, second, [[0, 0] as XyMm]][i]![0]!, parts }));
  };
  const turnAt = ([a, b]: Curve[]) => {
    const before = a!.parts.at(-2)?.toMm ?? a!.fromMm;
    return degBetween(
      directionOfPart(before, a!.parts.at(-1)!, 'end'),
      directionOfPart([0, 0], b!.parts[0]!, 'start'),
    );
  };

  it.each([0, 3, 8, RUNS_THROUGH_DEG - 1])('are one smooth curve through a turn of %d°', (deg) => {
    expect(turnAt(meeting(deg, 0))).toBeLessThanOrEqual(0.5);
  });

  it('keep a kink that is sharper', () => {
    expect(turnAt(meeting(20, 0))).toBeCloseTo(20, 0);
  });

  it('follow the straight one when the other bends', () => {
    const curves = meeting(0, 3);
    expect(turnAt(curves)).toBeLessThanOrEqual(0.5);
    expect(curves[1]!.parts).toEqual([{ kind: 'line', toMm: [70, 0] }]);
  });
});

describe('curves turned over and written as arcs', () => {
  const curve: Curve = {
    fromMm: [0, 0],
    parts: [
      { kind: 'line', toMm: [20, 0] },
      { kind: 'arc', toMm: [40, 20], centreMm: [20, 20], clockwise: true },
      { kind: 'cubic', c1Mm: [40, 40], c2Mm: [70, 30], toMm: [80, 70] },
    ],
  };

  it('have the same points backwards', () => {
    const there = curvePoints(curve, 0.01);
    const back = curvePoints(reverseCurve(curve), 0.01).reverse();
    back.forEach((p, i) => {
      expect(Math.hypot(p[0] - there[i]![0], p[1] - there[i]![1])).toBeLessThan(1e-9);
    });
  });

  it('mirror every point', () => {
    const mirrored = curvePoints(
      placeCurve(curve, ([x, y]) => [100 - x, y], true),
      0.01,
    );
    curvePoints(curve, 0.01).forEach(([x, y], i) => {
      expect(mirrored[i]![0]).toBeCloseTo(100 - x, 9);
      expect(mirrored[i]![1]).toBeCloseTo(y, 9);
    });
  });

  // DXF reference: a bulge is the tangent of a quarter of the included angle.
  it('give a quarter circle the bulge tan(90°/4)', () => {
    const vertices = bulgeVertices(curve, 0.01);
    expect(vertices[1]!.bulge).toBeCloseTo(Math.tan(Math.PI / 8), 9);
  });

  it('keep a Bézier within the error when it becomes arcs', () => {
    const vertices = bulgeVertices(curve, 0.01);
    const arcs: CurvePart[] = vertices.slice(1).map(({ xyMm: toMm }, i): CurvePart => {
      const { xyMm, bulge } = vertices[i]!;
      if (bulge === 0) return { kind: 'line', toMm };
      // Centre from chord and bulge, written out anew: h = c/2 · (1 - b²)/(2b) across the chord.
      const [dx, dy] = [toMm[0] - xyMm[0], toMm[1] - xyMm[1]];
      const h = (1 - bulge * bulge) / (4 * bulge);
      const centreMm: XyMm = [(xyMm[0] + toMm[0]) / 2 - h * dy, (xyMm[1] + toMm[1]) / 2 + h * dx];
      return { kind: 'arc', toMm, centreMm, clockwise: bulge > 0 };
    });
    const asArcs = { fromMm: curve.fromMm, parts: arcs };
    expect(apartMm(curvePoints(curve, 0.0005), asArcs)).toBeLessThan(0.015);
    expect(curveLengthMm(asArcs)).toBeCloseTo(curveLengthMm(curve), 2);
    expect(sharpestDeg(asArcs)).toBeLessThan(0.5);
  });
});
