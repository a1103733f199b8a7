import fc from 'fast-check';
import type { XyMm } from '#libs/net';
import {
  areaText,
  coveredRatio,
  measureFinding,
  measureText,
  percentText,
  unionAreaMm2,
} from './measure.js';
import { findingTerm } from './terms.js';
import { VocabularyError } from './vocabulary-error.js';

const crack = findingTerm('glass.crack.simple')!;
const paintLoss = findingTerm('paint.loss')!;
const square = (x: number, y: number, side: number): XyMm[] => [
  [x, y],
  [x + side, y],
  [x + side, y + side],
  [x, y + side],
];

describe('measureFinding', () => {
  // Source: worked example WE-32 (geometry): (10,10) (13,14) (13,26) px at 0.1 mm/px is 1.7 mm.
  it('measures a crack of 1.7 mm', () => {
    const xyMm: XyMm[] = [
      [1, 1],
      [1.3, 1.4],
      [1.3, 2.6],
    ];
    expect(measureFinding(crack, { kind: 'line', xyMm })).toEqual({
      countN: 1,
      lengthMm: 1.7,
      areaMm2: null,
      shareRatio: null,
    });
  });

  // Source: worked example WE-33 (geometry): piece of 1500 mm², loss of 30 mm², 2.0 %.
  it('measures a loss of 2 % of its piece', () => {
    const piece: XyMm[] = [
      [0, 0],
      [40, 0],
      [40, 30],
      [20, 45],
      [0, 30],
    ];
    const xyMm: XyMm[] = [
      [0, 0],
      [10, 0],
      [0, 6],
    ];
    const measure = measureFinding(paintLoss, { kind: 'area', xyMm }, [piece]);
    expect(measure.areaMm2).toBe(30);
    expect(measure.shareRatio).toBe(0.02);
    expect(measureText(measure)).toBe('30 mm², 2 % of the piece');
  });

  it('counts only what lies on the piece, and not what lies in its holes', () => {
    const rings = [square(0, 0, 100), square(40, 40, 20).reverse()];
    const over = { kind: 'area' as const, xyMm: square(50, 50, 100) };
    // 50 × 50 on the piece, 10 × 10 of it in the hole; the piece is 100² - 20².
    expect(measureFinding(paintLoss, over, rings).shareRatio).toBeCloseTo(2400 / 9600, 4);
    expect(measureFinding(paintLoss, over, rings).areaMm2).toBe(10_000);
  });

  it('takes a ring either way round', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 60 }), fc.integer({ min: 0, max: 30 }), (side, at) => {
        const ring = square(at, at, side);
        const one = measureFinding(paintLoss, { kind: 'area', xyMm: ring }, [square(0, 0, 100)]);
        const two = measureFinding(paintLoss, { kind: 'area', xyMm: ring.toReversed() }, [
          square(0, 0, 100),
        ]);
        expect(two).toEqual(one);
        expect(one.areaMm2).toBe(side * side);
      }),
    );
  });

  it('counts points', () => {
    const joints = findingTerm('solder.crack')!;
    const two = measureFinding(joints, {
      kind: 'point',
      xyMm: [
        [1, 1],
        [5, 5],
      ],
    });
    expect(two.countN).toBe(2);
    expect(measureText(two)).toBe('2 places');
    expect(measureText({ ...two, countN: 1 })).toBe('');
  });

  it.each([
    [
      'a crack drawn as an area',
      crack,
      { kind: 'area' as const, xyMm: square(0, 0, 5) },
      'wrong-geometry',
    ],
    [
      'a line of one point',
      crack,
      { kind: 'line' as const, xyMm: [[0, 0]] as XyMm[] },
      'bad-geometry',
    ],
    [
      'a point that is no number',
      crack,
      {
        kind: 'line' as const,
        xyMm: [
          [0, 0],
          [Number.NaN, 1],
        ] as XyMm[],
      },
      'bad-geometry',
    ],
  ])('refuses %s', (_, term, geometry, fault) => {
    let seen: unknown;
    try {
      measureFinding(term, geometry);
    } catch (error) {
      seen = error;
    }
    expect(seen).toBeInstanceOf(VocabularyError);
    expect(seen).toMatchObject({ fault });
  });
});

describe('several findings on one piece', () => {
  // Source: worked example WE-35 (geometry): the union of two 20 mm squares offset by 10 is 700 mm².
  it('cover their union, not their sum', () => {
    const areas = [square(0, 0, 20), square(10, 10, 20)];
    expect(unionAreaMm2(areas)).toBeCloseTo(700, 6);
    expect(coveredRatio(areas, [square(0, 0, 100)])).toBeCloseTo(0.07, 4);
  });
});

describe('words for a measure', () => {
  it.each([
    [42, '42 mm²'],
    [320, '3.2 cm²'],
    [123_456, '1235 cm²'],
  ])('%d mm² is %s', (areaMm2, text) => {
    expect(areaText(areaMm2)).toBe(text);
  });

  it('never says 0 % of something that is there', () => {
    expect(percentText(0.004)).toBe('< 1 %');
    expect(percentText(0)).toBe('0 %');
    expect(percentText(0.126)).toBe('13 %');
  });
});
