import { fitHomography, invertHomography, project, solve } from './homography.js';

describe('homography', () => {
  const known = [4.1, 0.2, 120, -0.1, 3.9, 80, 2e-5, -4e-5, 1];
  const from = [0, 0, 300, 5, 310, 420, -4, 415, 150, 200];
  const to = from.flatMap((_, i) => (i % 2 === 0 ? project(known, from[i]!, from[i + 1]!) : []));

  test('four points give back the map that made them', () => {
    const h = fitHomography(from.slice(0, 8), to.slice(0, 8));
    h.forEach((v, i) => {
      expect(v).toBeCloseTo(known[i]!, 8);
    });
  });
  test('the inverse takes every point back', () => {
    const back = invertHomography(known);
    for (let i = 0; i < from.length; i += 2) {
      const [x, y] = project(back, to[i]!, to[i + 1]!);
      expect(x).toBeCloseTo(from[i]!, 8);
      expect(y).toBeCloseTo(from[i + 1]!, 8);
    }
  });
  test('a singular system is refused', () => {
    expect(() => solve(Float64Array.of(1, 2, 2, 4), Float64Array.of(1, 1), 2)).toThrow('singular');
  });
});
