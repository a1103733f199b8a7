import { barEnds } from './bar-ends.js';
import type { GreyImage } from './grey-image.js';
import { lidMm } from './sheet-extent.js';

const PX_PER_MM = 6;

/** A picture drawn pixel by pixel, 120 × 160 mm. */
function drawn(greyOfMm: (xMm: number, yMm: number) => number): GreyImage {
  const [width, height] = [120 * PX_PER_MM, 160 * PX_PER_MM];
  const data = new Uint8Array(width * height);
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) data[y * width + x] = greyOfMm(x / PX_PER_MM, y / PX_PER_MM);
  }
  return { width, height, data };
}

describe('barEnds', () => {
  // A ruler from (20, 80) to (100, 80) mm with strokes every 10 mm, 0.5 mm thick.
  const ruler = drawn((x, y) => {
    const isLine = Math.abs(y - 80) < 0.25 && x > 20 && x < 100;
    const isStroke =
      Math.abs(y - 80) < 3 && Math.abs(x - Math.round(x / 10) * 10) < 0.25 && x > 19 && x < 101;
    return isLine || isStroke ? 40 : 230;
  });

  it('finds both strokes under taps that are 3 px off', () => {
    const ends = barEnds(ruler, Float64Array.of(123, 478, 597, 482), PX_PER_MM);
    expect(ends[0]).toBeCloseTo(120, 0);
    expect(ends[2]).toBeCloseTo(600, 0);
    expect(Math.hypot(ends[2]! - ends[0]!, ends[3]! - ends[1]!) / 480).toBeCloseTo(1, 2);
  });

  it('leaves a tap where it is when there is no stroke', () => {
    const bare = drawn(() => 230);
    expect(barEnds(bare, Float64Array.of(123, 478, 597, 482), PX_PER_MM)).toEqual(
      Float64Array.of(123, 478, 597, 482),
    );
  });
});

describe('lidMm', () => {
  // A panel 60 × 100 mm in the middle, its outer came 12 mm wide and half covered.
  const panel = (x: number, y: number): number => {
    const inside = Math.max(Math.abs(x - 60) - 30, Math.abs(y - 80) - 50);
    return inside < 0 && inside > -12 ? 120 : 230;
  };

  it('cuts a dark lid off, also where the sheet lies askew', () => {
    const scan = drawn((x, y) => (y < 2 + 0.03 * x ? 8 : panel(x, y)));
    const [left, top, right, bottom] = lidMm(scan, PX_PER_MM);
    expect(top).toBeGreaterThan(5);
    expect(top).toBeLessThan(12);
    expect(Math.max(left, right, bottom)).toBeLessThan(9);
  });

  it('cuts the shadow line between sheet and light lid off', () => {
    const scan = drawn((x, y) => (x > 117.5 ? 228 : x > 116 ? 130 : panel(x, y)));
    expect(lidMm(scan, PX_PER_MM)[2]).toBeGreaterThan(4);
  });

  it('keeps a came that lies at the edge of the picture', () => {
    const scan = drawn((x) => (x > 1 && x < 13 ? 120 : 230));
    expect(lidMm(scan, PX_PER_MM)[0]).toBeLessThanOrEqual(3);
  });
});
