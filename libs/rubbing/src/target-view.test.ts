import { greyOf } from './grey-image.js';
import { type LaidStrip, targetPicture } from './target-picture.fixture.js';
import { targetView } from './target-view.js';

const SIZE = { widthPx: 1200, heightPx: 1200 };
const FOCAL_PX = 1300;
const STRIPS: readonly LaidStrip[] = [
  { paper: 'A4', index: 0, xMm: -130, yMm: -150, turn: 0.3 },
  { paper: 'A4', index: 1, xMm: -130, yMm: 60, turn: 0 },
];

/**
 * Pinhole camera over the middle of the sheet, leaning by `tiltDeg` about the picture's x axis:
 * K [r1 r2 t], as in any textbook of projective geometry.
 */
function shot(tiltDeg: number, distanceMm: number) {
  const a = (tiltDeg * Math.PI) / 180;
  const [c, s] = [Math.cos(a), Math.sin(a)];
  const centre = SIZE.widthPx / 2;
  const f = FOCAL_PX;
  const h = [
    f,
    centre * s,
    centre * distanceMm,
    0,
    f * c + centre * s,
    centre * distanceMm,
    0,
    s,
    distanceMm,
  ].map((value) => value / distanceMm);
  return greyOf(
    targetPicture({
      ...SIZE,
      imageFromPlane: h,
      k1: 0,
      strips: STRIPS,
      paperMm: [-200, -200, 200, 200],
    }),
  );
}

describe('targetView', () => {
  it.each([
    [0, 500],
    [10, 500],
    [20, 520],
    [30, 560],
  ])('of a camera leaning by %s degrees, %s mm away', (tiltDeg, distanceMm) => {
    const view = targetView(shot(tiltDeg, distanceMm), FOCAL_PX)!;
    expect(view.tags).toBe(14);
    expect(Math.abs(view.tiltDeg! - tiltDeg)).toBeLessThan(1);
    // seen square on, a millimetre is focal length over distance; the far side is smaller
    const square = FOCAL_PX / distanceMm;
    expect(view.pxPerMm).toBeLessThan(square * 1.01);
    expect(view.pxPerMm).toBeGreaterThan(square * Math.cos((tiltDeg * Math.PI) / 180) * 0.78);
    if (tiltDeg === 0) expect(Math.abs(view.pxPerMm / square - 1)).toBeLessThan(0.01);
  });

  it('errs with a guessed focal length by its ratio, in the tangent', () => {
    const guessed = targetView(shot(20, 520))!.tiltDeg!;
    const ratio = (0.75 * SIZE.widthPx) / FOCAL_PX;
    const expected = Math.atan(Math.tan((20 * Math.PI) / 180) * ratio) * (180 / Math.PI);
    expect(Math.abs(guessed - expected)).toBeLessThan(1);
  });

  it('says nothing where there is no target sheet', () => {
    const data = Uint8Array.from({ length: 250_000 }, (_, i) => (i * 7) % 256);
    expect(targetView({ width: 500, height: 500, data })).toBeUndefined();
  });
});
