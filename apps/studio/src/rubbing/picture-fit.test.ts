import type { FlattenReport, Net } from '#libs/net';
import type { Placement } from '../platform/api/panels.js';
import { fitOnPicture } from './picture-fit.js';

const placement = {
  mediaId: 'm',
  points: ['A', 'B', 'C', 'D'].map((name, index) => ({
    name,
    imageXyPx: [index * 100, 0],
    panelXyMm: [index * 50, 0],
    residualMm: 0.8,
  })),
} as unknown as Placement;
const netOf = (flatten: Partial<FlattenReport>) => ({ flatten }) as Net;
const marks = (...residuals: number[]) =>
  residuals.map((residualMm, index) => ({ name: 'ABCD'[index]!, residualMm }));

describe('the fit drawn on the picture', () => {
  it('shows the residuals of the flattening, which knows the lens, not those of the placement', () => {
    const fit = fitOnPicture([placement], netOf({ marks: marks(0.08, 0.05, 0.07, 0.06) }), 'm')!;
    expect(fit.points.map(({ note }) => note)).toEqual([
      '0.08 mm',
      '0.05 mm',
      '0.07 mm',
      '0.06 mm',
    ]);
    expect(fit.words).toBe('the marks agree within 0.08 mm');
    expect(fit.points.some(({ worst }) => worst)).toBe(false);
  });

  it('marks the one that disagrees, and the length that does', () => {
    const distances = [
      { from: 'A', to: 'B', measuredMm: 50, fittedMm: 50.1, differenceMm: 0.1 },
      { from: 'B', to: 'C', measuredMm: 53, fittedMm: 50.2, differenceMm: -2.8 },
    ];
    const net = netOf({ marks: marks(0.1, 1.4, 0.2, 0.1), distances });
    const fit = fitOnPicture([placement], net, 'm')!;
    expect(fit.points.filter(({ worst }) => worst).map(({ name }) => name)).toEqual(['B']);
    expect(fit.lines.map(({ words, worst }) => [words, worst])).toEqual([
      ['+0.1 mm', false],
      ['−2.8 mm', true],
    ]);
  });

  it('is nothing for a picture that was not read', () => {
    expect(fitOnPicture([placement], netOf({ marks: [] }), 'another')).toBeNull();
  });
});
