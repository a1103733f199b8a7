import { boxBlur, gaussianBlur } from './blur.js';
import { closing, maxFilter, minFilter } from './extrema.js';
import { percentileFilter } from './percentile.js';
import { makePlane, mapPlane, type Plane } from './plane.js';
import { bilinear, shrink } from './sample.js';
import { noisePlane } from './sequence.fixture.js';

// Expected values are the definitions themselves, computed the slow way.
function slowly(
  plane: Plane,
  radius: number,
  of: (values: number[]) => number,
  repeatBorder: boolean,
): Float32Array {
  const { width, height, data } = plane;
  const out = new Float32Array(data.length);
  const clamp = (v: number, n: number): number => Math.max(0, Math.min(n - 1, v));
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const values: number[] = [];
      for (let v = y - radius; v <= y + radius; v++) {
        for (let u = x - radius; u <= x + radius; u++) {
          if (repeatBorder) values.push(data[clamp(v, height) * width + clamp(u, width)]!);
          else if (u >= 0 && v >= 0 && u < width && v < height) values.push(data[v * width + u]!);
        }
      }
      out[y * width + x] = of(values);
    }
  }
  return out;
}

const greatestDifference = (a: Float32Array, b: Float32Array): number =>
  a.reduce((m, v, i) => Math.max(m, Math.abs(v - b[i]!)), 0);

describe('filters against their definitions', () => {
  const plane = noisePlane(23, 17);
  test.each([1, 3, 30])('box blur of radius %i is the mean, border repeated', (radius) => {
    const mean = (v: number[]): number => v.reduce((a, b) => a + b, 0) / v.length;
    expect(
      greatestDifference(boxBlur(plane, radius).data, slowly(plane, radius, mean, true)),
    ).toBeLessThan(1e-5);
  });
  test.each([1, 4])('maximum and minimum within radius %i', (radius) => {
    expect(maxFilter(plane, radius).data).toEqual(
      slowly(plane, radius, (v) => Math.max(...v), false),
    );
    expect(minFilter(plane, radius).data).toEqual(
      slowly(plane, radius, (v) => Math.min(...v), false),
    );
  });
  test('closing lies above and closing twice changes nothing (invariants of mathematical morphology)', () => {
    const once = closing(plane, 2);
    expect(once.data.every((v, i) => v >= plane.data[i]!)).toBe(true);
    expect(closing(once, 2).data).toEqual(once.data);
  });
  test.each([0, 0.5, 0.8, 1])(
    'percentile %f is the sorted value, to one of 256 steps',
    (fraction) => {
      const pick = (v: number[]): number =>
        v.sort((a, b) => a - b)[Math.floor(fraction * (v.length - 1))]!;
      const fast = percentileFilter(plane, 3, fraction, 0, 1).data;
      expect(greatestDifference(fast, slowly(plane, 3, pick, false))).toBeLessThanOrEqual(
        0.5 / 255 + 1e-6,
      );
    },
  );
});

describe('gaussian blur', () => {
  test.each([0.8, 2, 6])(
    'of a single bright pixel has sum 1 and variance sigma² (sigma %f)',
    (sigma) => {
      const n = 81;
      const dot = makePlane(n, n);
      dot.data[40 * n + 40] = 1;
      const { data } = gaussianBlur(dot, sigma);
      let sum = 0;
      let variance = 0;
      for (let y = 0; y < n; y++) {
        for (let x = 0; x < n; x++) {
          sum += data[y * n + x]!;
          variance += data[y * n + x]! * (x - 40) ** 2;
        }
      }
      expect(sum).toBeCloseTo(1, 4);
      expect(Math.sqrt(variance) / sigma).toBeGreaterThan(0.94);
      expect(Math.sqrt(variance) / sigma).toBeLessThan(1.06);
    },
  );
});

describe('sampling', () => {
  test('bilinear is exact on a plane that rises evenly, and holds its border', () => {
    const slope = makePlane(
      5,
      4,
      Float32Array.from({ length: 20 }, (_, i) => 2 * (i % 5) - 3 * Math.floor(i / 5)),
    );
    expect(bilinear(slope, 1.25, 2.5)).toBeCloseTo(2 * 1.25 - 3 * 2.5, 5);
    expect(bilinear(slope, -9, 0)).toBe(0);
    expect(bilinear(slope, 4, 99)).toBe(8 - 9);
  });
  test('shrinking keeps the mean of whole blocks', () => {
    const plane = noisePlane(12, 9);
    const mean = (p: Plane): number => p.data.reduce((a, b) => a + b, 0) / p.data.length;
    expect(mean(shrink(plane, 3))).toBeCloseTo(mean(plane), 5);
  });
  test('mapping leaves the given plane alone', () => {
    const plane = makePlane(2, 1, Float32Array.of(1, 2));
    expect([...mapPlane(plane, (v) => v * 10).data]).toEqual([10, 20]);
    expect([...plane.data]).toEqual([1, 2]);
  });
  test('a plane of the wrong length is refused with both numbers', () => {
    expect(() => makePlane(2, 2, new Float32Array(3))).toThrow('needs 4 values, got 3');
  });
});
