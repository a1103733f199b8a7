import {
  noMarks,
  openPair,
  type PictureMarks,
  readMarks,
  spareLengths,
  withLength,
  withMark,
  withoutLastMark,
  withWay,
} from './picture-marks.js';

const tapped = (marks: PictureMarks): PictureMarks => ({
  ...marks,
  taps: Object.fromEntries(marks.names.map((name, index) => [name, [index * 10, 5] as const])),
});
const typed = (marks: PictureMarks, values: readonly string[]): PictureMarks => ({
  ...marks,
  lengths: marks.lengths.map((length, index) => ({ ...length, mm: values[index] ?? '' })),
});

describe('crosses at known places', () => {
  const marks = tapped(withWay(noMarks, 'known-places'));
  const places = {
    A: ['-14,7', '-19.3 mm'],
    B: ['377.5', '-16.5'],
    C: ['381.4', '486.3'],
    D: ['-21.6', '485.4'],
  } as const;

  it('are read as typed, with a comma and with a unit', () => {
    expect(readMarks('m', { ...marks, places })).toEqual({
      asked: {
        mediaId: 'm',
        control: {
          kind: 'control_points',
          points: [
            { name: 'A', mm: [-14.7, -19.3] },
            { name: 'B', mm: [377.5, -16.5] },
            { name: 'C', mm: [381.4, 486.3] },
            { name: 'D', mm: [-21.6, 485.4] },
          ],
        },
        taps: [
          [0, 5],
          [10, 5],
          [20, 5],
          [30, 5],
        ],
      },
    });
  });

  it('name the first place that is missing', () => {
    expect(readMarks('m', { ...marks, places: { A: ['0', '0'] } })).toEqual({
      missing: 'the place of mark B',
    });
  });
});

describe('lengths by tape', () => {
  it('are all six asked for, and none may be zero', () => {
    const marks = typed(tapped(withWay(noMarks, 'sides-and-diagonals')), [
      '400',
      '500',
      '400',
      '500',
      '640.3',
      '0',
    ]);
    expect(readMarks('m', marks)).toEqual({ missing: 'the length BD' });
  });

  it('between any marks need five, and what is more is to spare', () => {
    const square = typed(tapped(withWay(noMarks, 'any-lengths')), ['300', '300', '300', '300']);
    expect(readMarks('m', square)).toEqual({ missing: '1 more length' });
    const five = tapped(withMark(typed(square, ['300', '300', '300', '300', '424.3', '424.3'])));
    expect(spareLengths(five)).toBe(1);
    expect(five.lengths.slice(-2).map(({ from, to }) => from + to)).toEqual(['DE', 'AE']);
    expect(spareLengths(withLength(five, 6, { mm: '212.1' }))).toBe(2);
    // A square of four marks has all its six lengths; the fifth mark opens the next pair.
    expect(openPair(square)).toBeNull();
    expect(openPair(five)).toEqual(['B', 'E']);
  });

  it('go with the mark that is taken away', () => {
    const marks = withMark(withWay(noMarks, 'any-lengths'));
    expect(withoutLastMark(marks)).toEqual(withWay(noMarks, 'any-lengths'));
  });

  it('and taps stay when a person changes the way', () => {
    const first = typed(tapped(withWay(noMarks, 'sides-and-diagonals')), ['1', '2', '3', '4', '5']);
    const second = withWay(first, 'two-diagonals');
    expect(second.lengths).toEqual([
      { from: 'A', to: 'C', mm: '5' },
      { from: 'B', to: 'D', mm: '' },
    ]);
    expect(second.taps).toEqual(first.taps);
  });
});

describe('what needs no tap', () => {
  it('reads a ruler by both its ends', () => {
    const marks = typed(tapped(withWay(noMarks, 'ruler')), ['300']);
    expect(readMarks('m', marks)).toMatchObject({
      asked: { control: { kind: 'scale_bar', length_mm: 300 } },
    });
    expect(readMarks('m', withWay(noMarks, 'ruler'))).toEqual({
      missing: 'to tap: the zero of the ruler, its other end',
    });
  });

  it('takes a scan as its file says, or as typed, and no resolution that no scanner has', () => {
    const scan = withWay(noMarks, 'flat-scan');
    expect(readMarks('m', scan)).toEqual({
      asked: { mediaId: 'm', control: { kind: 'scanner' }, taps: [] },
    });
    expect(readMarks('m', { ...scan, dpi: '300' })).toMatchObject({
      asked: { control: { kind: 'scanner', dpi: 300 } },
    });
    expect(readMarks('m', { ...scan, dpi: '3' })).toEqual({
      missing: 'a resolution between 50 and 4800 dpi',
    });
  });

  it('finds the target sheet by itself', () => {
    expect(readMarks('m', withWay(noMarks, 'target-sheet'))).toEqual({
      asked: { mediaId: 'm', control: { kind: 'target_sheet' }, taps: [] },
    });
  });
});
