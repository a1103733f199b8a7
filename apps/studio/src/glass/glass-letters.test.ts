import { glassLetters, piecesTyped } from './glass-letters.js';

it('gives each glass the next letter, once', () => {
  const ids = ['x', 'y', 'x', 'z'].map((materialId) => ({ materialId }));
  expect([...glassLetters(ids)]).toEqual([
    ['x', 'A'],
    ['y', 'B'],
    ['z', 'C'],
  ]);
  const many = Array.from({ length: 28 }, (_, i) => ({ materialId: String(i) }));
  expect([...glassLetters(many).values()].slice(25)).toEqual(['Z', 'AA', 'AB']);
});

it('reads numbers and stretches of numbers, and names what is none', () => {
  const pieces = ['1', '2', '3', '3a', '4', '10'];
  expect(piecesTyped('2-3, 10; 99 x', pieces)).toEqual({
    found: ['2', '3', '3a', '10'],
    unknown: ['99', 'x'],
  });
  expect(piecesTyped(' ', pieces)).toEqual({ found: [], unknown: [] });
});
