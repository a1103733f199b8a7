import { readControl, tapNames } from './mark-plan.js';

describe('readControl', () => {
  const names = tapNames('known-places', 4);

  it('reads places as typed, with a comma and with a unit', () => {
    const places = {
      A: ['-14,7', '-19.3 mm'],
      B: ['377.5', '-16.5'],
      C: ['381.4', '486.3'],
      D: ['-21.6', '485.4'],
    } as const;
    expect(readControl('known-places', names, places, {})).toEqual({
      control: {
        kind: 'control_points',
        points: [
          { name: 'A', mm: [-14.7, -19.3] },
          { name: 'B', mm: [377.5, -16.5] },
          { name: 'C', mm: [381.4, 486.3] },
          { name: 'D', mm: [-21.6, 485.4] },
        ],
      },
    });
  });

  it('names the first place that is missing', () => {
    expect(readControl('known-places', names, { A: ['0', '0'] }, {})).toEqual({
      missing: 'the place of mark B',
    });
  });

  it('wants all six distances, and none that is zero', () => {
    const typed = { AB: '400', BC: '500', CD: '400', DA: '500', AC: '640.3', BD: '0' };
    expect(readControl('sides-and-diagonals', ['A', 'B', 'C', 'D'], {}, typed)).toEqual({
      missing: 'the distance BD',
    });
  });

  it('reads a ruler', () => {
    expect(readControl('ruler', ['from', 'to'], {}, { length: '300' })).toEqual({
      control: { kind: 'scale_bar', length_mm: 300 },
    });
  });
});
