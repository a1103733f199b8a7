import { crackLine, levelSpan, lossPatch } from './shapes-in-ring.js';

const square = [0, 0, 60, 0, 60, 40, 0, 40];
/** Two towers on one base: a level line at half height meets it four times. */
const towers = [0, 0, 20, 0, 20, 30, 30, 30, 30, 0, 70, 0, 70, 50, 0, 50];

describe('places for findings', () => {
  it('spans a square from side to side, drawn in by a tenth', () => {
    expect(levelSpan(square, 0.5)).toEqual([
      [6, 20],
      [54, 20],
    ]);
  });

  it('takes the wider of two parts and never the gap between them', () => {
    expect(levelSpan(towers, 0.5)).toEqual([
      [34, 25],
      [66, 25],
    ]);
  });

  it('keeps crack and loss inside the glass', () => {
    for (const [x, y] of [...crackLine(towers), ...lossPatch(towers)]) {
      expect(x).toBeGreaterThan(30);
      expect(x).toBeLessThan(70);
      expect(y).toBeGreaterThan(0);
      expect(y).toBeLessThan(50);
    }
  });
});
