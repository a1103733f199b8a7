import { cornerOfTicks } from './corner-ticks.js';
import { hasFourArms } from './find-marks.js';
import type { GreyImage } from './grey-image.js';

const PX_PER_MM = 4;

/** Paper of 60 × 60 mm with strokes 0.5 mm wide between the given millimetres, and wax speckle over it. */
function drawn(strokes: readonly (readonly [number, number, number, number])[]): GreyImage {
  const side = 60 * PX_PER_MM;
  const data = new Uint8Array(side * side);
  let state = 9;
  for (let y = 0; y < side; y++) {
    for (let x = 0; x < side; x++) {
      state = (state * 16807) % 2147483647;
      let tone = 200 - (state / 2147483647 > 0.97 ? 60 : 0);
      for (const [ax, ay, bx, by] of strokes) {
        const [px, py] = [x / PX_PER_MM - ax, y / PX_PER_MM - ay];
        const [ux, uy] = [bx - ax, by - ay];
        const t = Math.max(0, Math.min(1, (px * ux + py * uy) / (ux * ux + uy * uy)));
        const away = Math.hypot(px - t * ux, py - t * uy);
        const cover = Math.max(0, Math.min(1, (0.25 - away) * PX_PER_MM + 0.5));
        tone = Math.min(tone, 200 - 150 * cover);
      }
      data[y * side + x] = tone;
    }
  }
  return { width: side, height: side, data };
}

// The corner B (top right) of a panel at (30.1, 29.7) mm: one tick goes on to the right, one upwards.
const CORNER: readonly [number, number] = [30.1, 29.7];
const A: [number, number] = [-400, 28 * PX_PER_MM];
const C: [number, number] = [31 * PX_PER_MM, 500 * PX_PER_MM];
const ticks = drawn([
  [...CORNER, CORNER[0] + 9, CORNER[1] + 0.1],
  [...CORNER, CORNER[0] - 0.05, CORNER[1] - 9],
]);
const at: [number, number] = [CORNER[0] * PX_PER_MM, CORNER[1] * PX_PER_MM];

describe('corner ticks', () => {
  test.each([
    [0, 0],
    [2, -1],
    [-1.5, 2],
    [-2, -2],
  ])('the corner is found to a third of a pixel from a tap (%d, %d) px off', (dx, dy) => {
    const [x, y] = cornerOfTicks(ticks, [at[0] + dx, at[1] + dy], A, C, PX_PER_MM)!;
    expect(Math.hypot(x - at[0], y - at[1])).toBeLessThan(0.34);
  });
  test('taps a pixel apart give the same corner to a twentieth of a pixel', () => {
    const one = cornerOfTicks(ticks, at, A, C, PX_PER_MM)!;
    const two = cornerOfTicks(ticks, [at[0] + 1, at[1] - 1], A, C, PX_PER_MM)!;
    expect(Math.hypot(one[0] - two[0], one[1] - two[1])).toBeLessThan(0.05);
  });
  test('one tick, or bare paper, is no corner', () => {
    const one = drawn([[...CORNER, CORNER[0] + 9, CORNER[1]]]);
    expect(cornerOfTicks(one, at, A, C, PX_PER_MM)).toBeUndefined();
    expect(cornerOfTicks(drawn([]), at, A, C, PX_PER_MM)).toBeUndefined();
  });
  test('a cross has four arms, two ticks have not', () => {
    const cross = drawn([
      [CORNER[0] - 7, CORNER[1], CORNER[0] + 7, CORNER[1]],
      [CORNER[0], CORNER[1] - 7, CORNER[0], CORNER[1] + 7],
    ]);
    expect(hasFourArms(cross, at, PX_PER_MM)).toBe(true);
    expect(hasFourArms(ticks, at, PX_PER_MM)).toBe(false);
  });
});
