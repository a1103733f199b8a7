import { widthClasses } from './width-classes.js';

/** Evenly spread scatter about a width: deterministic, standard deviation about 0.29 · 2 · half. */
function around(widthMm: number, count: number, halfMm: number, lengthMm = 60) {
  return Array.from({ length: count }, (_, i) => ({
    widthMm: widthMm + halfMm * ((2 * (i + 0.5)) / count - 1),
    lengthMm,
    spreadMm: 0.3,
  }));
}

describe('widthClasses', () => {
  it.each([
    { trade: 'metric, 1 mm apart', sizes: [5, 6, 8, 12] },
    { trade: 'inch, 0.8 mm apart', sizes: [3.97, 4.76, 5.56, 6.35] },
  ])('separates $trade', ({ sizes }) => {
    const { classes } = widthClasses(sizes.flatMap((size) => around(size, 30, 0.3)));
    expect(classes).toHaveLength(sizes.length);
    classes.forEach(({ widthMm, leads, lengthMm }, i) => {
      expect(Math.abs(widthMm - sizes[i]!)).toBeLessThanOrEqual(0.06);
      expect(leads).toBe(30);
      expect(lengthMm).toBe(1800);
    });
  });

  it('keeps a short mending lead of its own width beside kilometres of came', () => {
    const { classes, of } = widthClasses([
      ...around(8, 200, 0.4),
      { widthMm: 5, lengthMm: 40, spreadMm: 0.3 },
    ]);
    expect(classes.map((one) => one.widthMm)).toEqual([5, 8]);
    expect(of.at(-1)!.classIndex).toBe(0);
  });

  it('is sure in the middle of a class and unsure between two', () => {
    const widths = [
      ...around(6, 40, 0.3),
      ...around(8, 40, 0.3),
      { widthMm: 7, lengthMm: 20, spreadMm: 0.9 },
    ];
    const { of } = widthClasses(widths);
    expect(of[20]!.p).toBeGreaterThan(0.98);
    expect(of.at(-1)!.p).toBeLessThan(0.95);
  });

  it('has nothing to say of nothing', () => {
    expect(widthClasses([])).toEqual({ classes: [], of: [] });
  });
});
