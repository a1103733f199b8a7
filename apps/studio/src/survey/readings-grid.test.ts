import { emptyGrid, placeOf, readingsIn, resized } from './readings-grid.js';

const size = { widthMm: 400, heightMm: 600 };

it('has its corners at the corners of the panel', () => {
  const grid = emptyGrid(5, 7);
  expect(placeOf(grid, 0, size)).toEqual([0, 0]);
  expect(placeOf(grid, 4, size)).toEqual([400, 0]);
  expect(placeOf(grid, 34, size)).toEqual([400, 600]);
});

it('reads what was typed, leaves out what was not, and counts what is no number', () => {
  const grid = { columns: 3, rows: 2, texts: ['1', '', '-2,5', 'x', ' 4 ', ''] };
  const read = (text: string) => {
    const value = Number(text.trim().replace(',', '.'));
    return Number.isNaN(value) ? undefined : value;
  };
  expect(readingsIn(grid, size, read)).toEqual({
    readings: [
      [0, 0, 1],
      [400, 0, -2.5],
      [200, 600, 4],
    ],
    unread: 1,
  });
});

it('keeps what was typed when it gets another size', () => {
  const grid = { columns: 2, rows: 2, texts: ['a', 'b', 'c', 'd'] };
  expect(resized(grid, 3, 2).texts).toEqual(['a', 'b', '', 'c', 'd', '']);
  expect(resized(grid, 1, 2).texts).toEqual(['a', 'c']);
});
