/**
 * The expected orders were written down by hand from the drawing of a window, as a glazier reads it:
 * out from the top down, back from the bottom up. Common practice, no source.
 */
import fc from 'fast-check';
import { notYetBelow, refixingOrder, removalOrder, stillOnTop } from './order-of-work.js';
import type { WindowDrawing } from './window-drawing.js';

/** Two pointed lights of three rows under one round opening. */
const SOUTH: WindowDrawing = {
  opening: { kind: 'rectangular', widthMm: 872, heightMm: 1960 },
  lights: ['a', 'b'].map((letter, i) => ({
    letter,
    xMm: i * 506,
    yMm: 502,
    opening: {
      kind: 'pointed' as const,
      widthMm: 366,
      heightMm: 1458,
      springMm: 1141,
      leftCentreXMm: 366,
      rightCentreXMm: 0,
    },
    rowHeightsMm: [476, 456, 526],
  })),
  tracery: [{ mark: 'A1', xMm: 243, yMm: 150, opening: { kind: 'circular', diameterMm: 386 } }],
  bars: [],
};

/** One wide light: the lower row one panel, the upper row two columns. */
const WIDE: WindowDrawing = {
  opening: { kind: 'rectangular', widthMm: 1000, heightMm: 1200 },
  lights: [
    {
      letter: 'a',
      xMm: 0,
      yMm: 0,
      opening: { kind: 'rectangular', widthMm: 1000, heightMm: 1200 },
      columns: [
        { letter: 'a', widthMm: 400 },
        { letter: 'b', widthMm: 600 },
      ],
      rowHeightsMm: [600, 600],
    },
  ],
  tracery: [],
  bars: [],
};

const marks = (order: readonly { mark: string }[]) => order.map(({ mark }) => mark);

it('takes the tracery first, then row by row from the top', () => {
  expect(marks(removalOrder(SOUTH))).toEqual(['A1', '3a', '3b', '2a', '2b', '1a', '1b']);
});

it('puts the lowest row back first and the tracery last', () => {
  expect(marks(refixingOrder(SOUTH))).toEqual(['1a', '1b', '2a', '2b', '3a', '3b', 'A1']);
});

it('says what each panel bears on, within its own light', () => {
  const bearing = new Map(removalOrder(SOUTH).map((one) => [one.mark, one]));
  expect(bearing.get('3a')).toMatchObject({ bearsOn: ['2a'], carries: [] });
  expect(bearing.get('2b')).toMatchObject({ bearsOn: ['1b'], carries: ['3b'] });
  expect(bearing.get('1a')).toMatchObject({ bearsOn: [], carries: ['2a'] });
  expect(bearing.get('A1')).toMatchObject({ bearsOn: [], carries: [], isTracery: true });
});

it('keeps the columns of a wide light apart', () => {
  const bearing = new Map(removalOrder(WIDE).map((one) => [one.mark, one]));
  expect(bearing.get('2a')!.bearsOn).toEqual(['1a']);
  expect(bearing.get('2b')!.bearsOn).toEqual(['1b']);
});

it('names what still stands on a panel that is to come out, the nearest first', () => {
  const order = removalOrder(SOUTH);
  expect(stillOnTop(order, '1a', () => true)).toEqual(['2a', '3a']);
  expect(stillOnTop(order, '1a', (mark) => mark !== '3a')).toEqual(['2a']);
  // a panel further up is without hold all the more when the one between has gone
  expect(stillOnTop(order, '1a', (mark) => mark !== '2a')).toEqual(['3a']);
  expect(stillOnTop(order, '3a', () => true)).toEqual([]);
});

it('names what is missing under a panel that is to go back, the nearest first', () => {
  const order = refixingOrder(SOUTH);
  expect(notYetBelow(order, '3b', () => false)).toEqual(['2b', '1b']);
  expect(notYetBelow(order, '3b', (mark) => mark === '2b')).toEqual(['1b']);
  expect(notYetBelow(order, '1b', () => false)).toEqual([]);
});

it('never takes a panel out from under another, whatever the lights', () => {
  const rows = fc.array(fc.integer({ min: 100, max: 900 }), { minLength: 1, maxLength: 6 });
  fc.assert(
    fc.property(fc.array(rows, { minLength: 1, maxLength: 5 }), (lights) => {
      const heights = lights.map((list) => list.reduce((sum, mm) => sum + mm, 0));
      const tallest = Math.max(...heights);
      const drawing: WindowDrawing = {
        opening: { kind: 'rectangular', widthMm: lights.length * 500, heightMm: tallest },
        lights: lights.map((rowHeightsMm, i) => ({
          letter: String.fromCharCode(97 + i),
          xMm: i * 500,
          yMm: tallest - heights[i]!,
          opening: { kind: 'rectangular', widthMm: 450, heightMm: heights[i]! },
          rowHeightsMm,
        })),
        tracery: [],
        bars: [],
      };
      const out = marks(removalOrder(drawing));
      const back = marks(refixingOrder(drawing));
      lights.forEach((list, i) => {
        const letter = String.fromCharCode(97 + i);
        const column = list.map((_, row) => `${row + 1}${letter}`);
        expect(out.filter((mark) => mark.endsWith(letter))).toEqual(column.toReversed());
        expect(back.filter((mark) => mark.endsWith(letter))).toEqual(column);
      });
    }),
    { numRuns: 100, seed: 17 },
  );
});
