/**
 * Paints a tiled picture through a homography on a 2D canvas. A tile is cut into cells so small
 * that an affine map is right to a third of a pixel; most tiles of a nearly square photograph need
 * one cell, so that moving about stays smooth.
 */
import { apply, type Homography, invert, multiply } from './homography.js';
import type { Tile, TilePyramid } from './tile-pyramid.js';

/** Largest error, px on screen, that an affine cell may have. */
const cellErrorPx = 0.35;
const mostCells = 12;
/** Cells overlap by this much, px on screen, so that no seam of the ground shows between them. */
const overlapPx = 0.7;

/** Pixel centres lie at integers (samples' convention), a canvas counts from the pixel's corner. */
const pixelFromCorner: Homography = [1, 0, -0.5, 0, 1, -0.5, 0, 0, 1];

export function paintWarped(
  context: CanvasRenderingContext2D,
  pyramid: TilePyramid,
  screenFromImage: Homography,
  widthPx: number,
  heightPx: number,
): void {
  const screenFromCorner = multiply(screenFromImage, pixelFromCorner);
  const cornerFromScreen = invert(screenFromCorner);
  const region = regionOf(cornerFromScreen, widthPx, heightPx, pyramid);
  if (!region) return;
  for (const level of pyramid.levels(density(cornerFromScreen, widthPx, heightPx)))
    for (const tile of pyramid.tiles(level, region))
      if (tile.image) paintTile(context, tile, tile.image, screenFromCorner);
  context.setTransform(1, 0, 0, 1, 0, 0);
}

/** Picture px per screen px in the middle of the screen. */
function density(imageFromScreen: Homography, widthPx: number, heightPx: number): number {
  const [x, y] = [widthPx / 2, heightPx / 2];
  const at = apply(imageFromScreen, x, y);
  const right = apply(imageFromScreen, x + 1, y);
  const below = apply(imageFromScreen, x, y + 1);
  return Math.min(
    Math.hypot(right[0] - at[0], right[1] - at[1]),
    Math.hypot(below[0] - at[0], below[1] - at[1]),
  );
}

/** Part of the picture that can be seen, px; undefined when none of it can. */
function regionOf(
  imageFromScreen: Homography,
  widthPx: number,
  heightPx: number,
  pyramid: TilePyramid,
): [number, number, number, number] | undefined {
  let [minX, minY, maxX, maxY] = [Infinity, Infinity, -Infinity, -Infinity];
  for (let step = 0; step <= 4; step++)
    for (const [sx, sy] of [
      [(widthPx * step) / 4, 0],
      [(widthPx * step) / 4, heightPx],
      [0, (heightPx * step) / 4],
      [widthPx, (heightPx * step) / 4],
    ] as const) {
      const [x, y] = apply(imageFromScreen, sx, sy);
      minX = Math.min(minX, x);
      maxX = Math.max(maxX, x);
      minY = Math.min(minY, y);
      maxY = Math.max(maxY, y);
    }
  if (maxX < 0 || maxY < 0 || minX > pyramid.widthPx || minY > pyramid.heightPx) return undefined;
  return [Math.max(0, minX), Math.max(0, minY), maxX, maxY];
}

type Point = readonly [number, number];

function paintTile(
  context: CanvasRenderingContext2D,
  tile: Tile,
  image: HTMLImageElement,
  screenFromCorner: Homography,
): void {
  const at = (u: number, v: number) =>
    apply(screenFromCorner, tile.xPx + u * tile.widthPx, tile.yPx + v * tile.heightPx);
  const [p00, p10, p01, p11] = [at(0, 0), at(1, 0), at(0, 1), at(1, 1)];
  const middle = at(0.5, 0.5);
  // How far the middle, and the fourth corner, are from where an affine map would put them.
  const bend = Math.max(
    Math.hypot(middle[0] - (p10[0] + p01[0]) / 2, middle[1] - (p10[1] + p01[1]) / 2),
    Math.hypot(p11[0] - (p10[0] + p01[0] - p00[0]), p11[1] - (p10[1] + p01[1] - p00[1])) / 2,
  );
  const cells = Math.min(mostCells, Math.max(1, Math.ceil(Math.sqrt(bend / cellErrorPx))));
  const [w, h] = [image.naturalWidth, image.naturalHeight];
  for (let row = 0; row < cells; row++)
    for (let column = 0; column < cells; column++) {
      const [u0, v0, u1, v1] = [
        column / cells,
        row / cells,
        (column + 1) / cells,
        (row + 1) / cells,
      ];
      const [q00, q10, q01, q11] =
        cells === 1 ? [p00, p10, p01, p11] : [at(u0, v0), at(u1, v0), at(u0, v1), at(u1, v1)];
      paintCell(context, image, [u0 * w, v0 * h, (u1 - u0) * w, (v1 - v0) * h], q00, q10, q01, q11);
    }
}

/** One cell by the affine map that fits its four corners best (mean of opposite edges). */
function paintCell(
  context: CanvasRenderingContext2D,
  image: HTMLImageElement,
  [sx, sy, sw, sh]: readonly [number, number, number, number],
  q00: Point,
  q10: Point,
  q01: Point,
  q11: Point,
): void {
  const ax = (q10[0] - q00[0] + q11[0] - q01[0]) / 2;
  const ay = (q10[1] - q00[1] + q11[1] - q01[1]) / 2;
  const bx = (q01[0] - q00[0] + q11[0] - q10[0]) / 2;
  const by = (q01[1] - q00[1] + q11[1] - q10[1]) / 2;
  const cx = (q00[0] + q10[0] + q01[0] + q11[0]) / 4;
  const cy = (q00[1] + q10[1] + q01[1] + q11[1]) / 4;
  const wide = 1 + overlapPx / Math.max(1, Math.hypot(ax, ay));
  const high = 1 + overlapPx / Math.max(1, Math.hypot(bx, by));
  context.setTransform(
    (ax / sw) * wide,
    (ay / sw) * wide,
    (bx / sh) * high,
    (by / sh) * high,
    cx - (ax * wide + bx * high) / 2,
    cy - (ay * wide + by * high) / 2,
  );
  context.drawImage(image, sx, sy, sw, sh, 0, 0, sw, sh);
}
