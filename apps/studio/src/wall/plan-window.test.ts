import { checkWindowDrawing, panelGrid } from '#libs/elevation';
import { drawingOf, type OpeningPlan, openingOf, planOf, type WindowPlan } from './plan-window.js';

const shape = (kind: OpeningPlan['kind'], widthMm: number, heightMm: number, springMm = 0) => ({
  kind,
  widthMm,
  heightMm,
  springMm,
  ringMm: [],
});
const four: WindowPlan = {
  opening: shape('pointed', 2400, 5200, 3000),
  lights: 4,
  mullionMm: 120,
  light: shape('round-headed', 480, 2900),
  rows: 5,
  tracery: [
    { mark: 'A1', opening: shape('circular', 500, 500), middleXMm: 1200, middleHeightMm: 4000 },
  ],
  barHeightsMm: [1160, 580],
};

describe('openingOf', () => {
  // Equilateral arch: radius equals the span, rise = span × √3 / 2 (Euclid I.1).
  it('puts the centres of an equilateral arch on the opposite edges', () => {
    const rise = (1000 * Math.sqrt(3)) / 2;
    const arch = openingOf(shape('pointed', 1000, 2000 + rise, 2000));
    expect(arch).toMatchObject({ leftCentreXMm: 1000, rightCentreXMm: 0 });
  });
});

describe('drawingOf', () => {
  it('makes a window that can be built, with a panel for each row and light', () => {
    const drawing = drawingOf(four);
    expect(() => {
      checkWindowDrawing(drawing);
    }).not.toThrow();
    const marks = panelGrid(drawing).map((place) => place.mark);
    expect(marks).toHaveLength(4 * 5 + 1);
    expect(marks).toEqual(expect.arrayContaining(['1a', '5d', 'A1']));
  });

  it('counts bars from the sill upwards, across every light', () => {
    const { bars } = drawingOf(four);
    expect(bars).toHaveLength(8);
    expect(bars[0]).toMatchObject({ mark: 'bar-1', yMm: 5200 - 580 });
  });

  it('is found again from its drawing', () => {
    const drawing = drawingOf(four);
    expect(drawingOf(planOf(drawing))).toEqual(drawing);
  });
});
