import { gaussianBlur } from './blur.js';
import { edgeWidth } from './edge-width.js';
import { makePlane, mapPlane, type Plane } from './plane.js';

/** Dark bands slanted by 5 degrees on light, each pixel the mean of 4 × 4 places. */
function bands(size: number, slantDeg = 5): Plane {
  const plane = makePlane(size, size);
  const slant = Math.tan((slantDeg * Math.PI) / 180);
  for (let y = 0; y < size; y++) {
    for (let x = 0; x < size; x++) {
      let sum = 0;
      for (let k = 0; k < 16; k++) {
        const u = x + ((k % 4) + 0.5) / 4 - 0.5;
        const v = y + (Math.floor(k / 4) + 0.5) / 4 - 0.5;
        const t = (((u + slant * v) % 60) + 60) % 60;
        sum += t < 30 ? 40 : 210;
      }
      plane.data[y * size + x] = sum / 16;
    }
  }
  return plane;
}

/** A fixed sequence, so that the test says the same each time (Numerical Recipes' constants, from memory). */
function noisy(plane: Plane, most: number): Plane {
  let state = 1;
  return mapPlane(plane, (value) => {
    state = (Math.imul(1664525, state) + 1013904223) >>> 0;
    return value + (state / 2 ** 32 - 0.5) * 2 * most;
  });
}

describe('edgeWidth', () => {
  // 10 to 90 % of a Gaussian step: 2 × 1.28155 σ; 1.28155 is the 90 % quantile of the normal
  // distribution (any table of it). A pixel of width 1 adds 1/12 to σ².
  it.each([1.5, 2, 3, 4])('is 2.563 σ for a step blurred by σ = %s px', (sigma) => {
    const found = edgeWidth(gaussianBlur(bands(400), sigma))!;
    const expected = 2 * 1.28155 * Math.sqrt(sigma ** 2 + 1 / 12);
    expect(Math.abs(found.widthPx / expected - 1)).toBeLessThan(0.06);
  });

  it('measures edges across, however they lie', () => {
    const found = edgeWidth(gaussianBlur(bands(400, 40), 3))!;
    expect(Math.abs(found.widthPx / (2.5631 * Math.sqrt(9 + 1 / 12)) - 1)).toBeLessThan(0.12);
  });

  it('tells a sharp picture from a blurred one through noise', () => {
    const sharp = edgeWidth(noisy(gaussianBlur(bands(400), 1), 4))!;
    const blurred = edgeWidth(noisy(gaussianBlur(bands(400), 5), 4))!;
    expect(blurred.widthPx).toBeGreaterThan(2.5 * sharp.widthPx);
  });

  it('says nothing of a picture without edges', () => {
    expect(
      edgeWidth(
        noisy(
          mapPlane(makePlane(200, 200), () => 128),
          4,
        ),
      ),
    ).toBeUndefined();
  });
});
