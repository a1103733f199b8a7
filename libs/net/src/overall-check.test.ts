import type { Net, XyMm } from './net.js';
import { overallCheck } from './overall-check.js';

// All lengths by hand: a right triangle of 300 and 400 mm has a hypotenuse of 500 (Euclid I.47).
const MEASURED = { widthMm: 300, heightMm: 400, diagonal1Mm: 500, diagonal2Mm: 500 };

function netOf(outlineMm: readonly XyMm[], scale?: { plusMinusMm: number; overMm: number }): Net {
  return {
    outlineMm,
    flatten: scale ? { marks: [], rmsMm: 0, lens: null, worstMark: null, scale } : null,
  } as unknown as Net;
}

const rectangle: XyMm[] = [
  [0, 0],
  [300, 0],
  [300, 400],
  [0, 400],
];

describe('overallCheck', () => {
  test('a drawing of the measured size agrees in all four lengths', () => {
    const check = overallCheck(netOf(rectangle), MEASURED);
    expect(check.verdict).toBe('agrees');
    expect(check.lengths.map((l) => l.drawnMm)).toEqual([300, 400, 500, 500]);
    expect(check.lengths.every((l) => l.verdict === 'agrees')).toBe(true);
  });

  test('a turned panel is measured along its own sides', () => {
    // turned by the angle of the 3-4-5 triangle's little brother, tan t = 7 / 24: exact in fractions of 25
    const turned = rectangle.map(([x, y]): XyMm => [(24 * x - 7 * y) / 25, (7 * x + 24 * y) / 25]);
    const { lengths } = overallCheck(netOf(turned), MEASURED);
    expect(lengths.map((l) => l.drawnMm!.toFixed(6))).toEqual([
      '300.000000',
      '400.000000',
      '500.000000',
      '500.000000',
    ]);
  });

  test('a drawing one per cent too large is named as a matter of scale', () => {
    const large = rectangle.map(([x, y]): XyMm => [1.01 * x, 1.01 * y]);
    const check = overallCheck(netOf(large), MEASURED);
    expect(check.lengths.map((l) => Number(l.differenceMm!.toFixed(6)))).toEqual([3, 4, 5, 5]);
    expect(check.verdict).toBe('differs');
    expect(check.sentence).toContain('1.00 % too large');
  });

  test('a leaning drawing is told by its diagonals', () => {
    // top pushed 8 mm to the right, sides kept at 400: height of the box sqrt(400² - 8²) = 399.92
    const lean: XyMm[] = [
      [8, 0],
      [308, 0],
      [300, 399.92],
      [0, 399.92],
    ];
    const check = overallCheck(netOf(lean), MEASURED);
    // 292² + 399.92² = 495.18², 308² + 399.92² = 504.78²
    expect(check.lengths[2]!.drawnMm).toBeCloseTo(495.18, 1);
    expect(check.lengths[3]!.drawnMm).toBeCloseTo(504.78, 1);
    expect(check.sentence).toContain('leans');
  });

  test('one length that is off is named with both figures', () => {
    const check = overallCheck(netOf(rectangle), { ...MEASURED, widthMm: 304 });
    expect(check.verdict).toBe('differs');
    expect(check.sentence).toContain('The width is 4.0 mm shorter');
    expect(check.sentence).toContain('300.0 against 304.0 mm');
  });

  test('the limit grows with the doubt in the scale', () => {
    // ± 0.5 mm tape and 2 mm on 500 mm of scale: 2 sqrt(0.5² + (300 · 2/500)²) = 2.6 mm for the width
    const doubtful = netOf(rectangle, { plusMinusMm: 2, overMm: 500 });
    expect(overallCheck(doubtful, { widthMm: 300 }).lengths[0]!.limitMm).toBeCloseTo(2.6, 9);
    expect(overallCheck(doubtful, { widthMm: 302.4 }).verdict).toBe('agrees');
    expect(overallCheck(netOf(rectangle), { widthMm: 302.4 }).verdict).toBe('differs');
  });

  test('a round panel has a width and a height and no diagonals', () => {
    const round = Array.from({ length: 360 }, (_, k): XyMm => {
      const t = (k * Math.PI) / 180;
      return [200 + 200 * Math.cos(t), 200 + 200 * Math.sin(t)];
    });
    const check = overallCheck(netOf(round), { ...MEASURED, widthMm: 400 });
    expect(check.lengths.map((l) => l.verdict)).toEqual([
      'agrees',
      'agrees',
      'not-comparable',
      'not-comparable',
    ]);
  });

  test('what was not measured is not judged', () => {
    expect(overallCheck(netOf(rectangle), {}).verdict).toBe('not-comparable');
    expect(overallCheck(netOf(rectangle), { widthMm: 300, heightMm: 0 }).lengths).toHaveLength(1);
  });
});
