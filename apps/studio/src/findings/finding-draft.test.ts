/** Expected figures are lengths and areas of school geometry. */
import { polylineLengthMm, ringAreaMm2, type XyMm } from '#libs/net';
import {
  draftAreaMm2,
  ended,
  geometriesOf,
  nothingDrawn,
  withBrush,
  withLasso,
  withPoint,
  withStroke,
} from './finding-draft.js';

const square = (x: number, y: number, side: number): XyMm[] => [
  [x, y],
  [x + side, y],
  [x + side, y + side],
  [x, y + side],
];

describe('a crack', () => {
  it('drawn in one stroke keeps its length and few of its points', () => {
    // A hand that trembles by a tenth along 60 mm.
    const stroke = Array.from({ length: 301 }, (_, i): XyMm => [i / 5, i % 2 === 0 ? 0 : 0.1]);
    const draft = withStroke(nothingDrawn('line'), stroke);
    expect(draft.ended).toBe(true);
    const [crack] = geometriesOf(draft);
    expect(crack!.xyMm.length).toBeLessThan(5);
    expect(polylineLengthMm(crack!.xyMm)).toBeCloseTo(60, 1);
  });

  it('stays within 0.2 mm of the stroke', () => {
    const arc = Array.from(
      { length: 200 },
      (_, i): XyMm => [50 * Math.cos(i / 100), 50 * Math.sin(i / 100)],
    );
    const [crack] = geometriesOf(withStroke(nothingDrawn('line'), arc));
    // The sagitta of each chord of a circle of 50 mm: r - √(r² - (chord/2)²).
    for (let i = 1; i < crack!.xyMm.length; i++) {
      const chord = polylineLengthMm(crack!.xyMm.slice(i - 1, i + 1));
      expect(50 - Math.sqrt(50 ** 2 - (chord / 2) ** 2)).toBeLessThan(0.21);
    }
  });

  it('set point by point goes on with a stroke, and is none with one point', () => {
    const one = withPoint(nothingDrawn('line'), [0, 0]);
    expect(geometriesOf(one)).toEqual([]);
    expect(ended(one).ended).toBe(false);
    const on = withStroke(withPoint(one, [10, 0]), [
      [10, 0],
      [10, 10],
    ]);
    expect(polylineLengthMm(geometriesOf(on)[0]!.xyMm)).toBeCloseTo(20);
  });
});

describe('an area', () => {
  it('grows by a lasso that overlaps, and counts what is shared once', () => {
    const first = withLasso(nothingDrawn('area'), square(0, 0, 20), false);
    const both = withLasso(first, square(10, 0, 20), false);
    expect(draftAreaMm2(both)).toBeCloseTo(600, 1);
    expect(geometriesOf(both)).toHaveLength(1);
  });

  it('loses what the brush takes away, also from its middle', () => {
    const painted = withLasso(nothingDrawn('area'), square(0, 0, 40), false);
    const holed = withBrush(painted, [[20, 20]], 10, true);
    const hole = Math.PI * 25;
    expect(Math.abs(draftAreaMm2(holed) - (1600 - hole))).toBeLessThan(2);
    const [one, ...more] = geometriesOf(holed);
    expect(more).toEqual([]);
    expect(Math.abs(ringAreaMm2(one!.xyMm) - (1600 - hole))).toBeLessThan(2);
  });

  it('in two parts is two findings, each with its own', () => {
    const two = withLasso(
      withLasso(nothingDrawn('area'), square(0, 0, 10), false),
      square(50, 0, 20),
      false,
    );
    const areas = geometriesOf(two).map(({ xyMm }) => Math.round(ringAreaMm2(xyMm)));
    expect(areas.sort((a, b) => a - b)).toEqual([100, 400]);
  });

  it('of corners is there before it is closed, and is closed as it was', () => {
    const corners = square(0, 0, 30).reduce(withPoint, nothingDrawn('area'));
    expect(ringAreaMm2(geometriesOf(corners)[0]!.xyMm)).toBeCloseTo(900);
    expect(draftAreaMm2(ended(corners))).toBeCloseTo(900);
  });

  it('is none when all of it is taken away', () => {
    const gone = withLasso(
      withBrush(nothingDrawn('area'), [[5, 5]], 4, false),
      square(0, 0, 10),
      true,
    );
    expect(geometriesOf(gone)).toEqual([]);
  });
});
