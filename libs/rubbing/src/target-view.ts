/** What the printed target sheet in a picture says of the shot, before anything is measured from it. */
import type { GreyImage } from './grey-image.js';
import { fitHomography, project, solve } from './homography.js';
import { findTags } from './tag-finder.js';
import { TAG_MM } from './target-layout.js';

export interface TargetView {
  /** Signs of the target sheet that were read. */
  readonly tags: number;
  /** Resolution where it is lowest, pixels to the millimetre. */
  readonly pxPerMm: number;
  /** How far the camera's axis leans from square on to the sheet, degrees; null: too few signs, or all in a row. */
  readonly tiltDeg: number | null;
}

/** A phone's main camera sees about as much as a 27 mm lens on 36 mm film (common practice, no source). */
const FOCAL_OF_LONG_SIDE = 0.75;
/** Signs spread over less than this share of the focal length tell no tilt. */
const LEAST_SPREAD = 0.06;

/**
 * Scale from the printed side of the signs. Tilt from how the scale changes over the picture: the area of
 * a small square on a plane falls with the cube of its depth, and one over the depth of a plane is affine
 * in the picture (both follow from the form of a homography, Hartley and Zisserman, from memory).
 *
 * @param grey the whole picture, upright
 * @param focalPx focal length where it is known; a wrong one errs in the tangent of the tilt by its ratio
 * @returns undefined where no sign is read
 */
export function targetView(grey: GreyImage, focalPx?: number): TargetView | undefined {
  const tags = findTags(grey);
  if (tags.length === 0) return undefined;
  const focal = focalPx ?? FOCAL_OF_LONG_SIDE * Math.max(grey.width, grey.height);
  const places = tags.map(({ cornersPx }) => {
    const h = fitHomography(Float64Array.of(0, 0, TAG_MM, 0, TAG_MM, TAG_MM, 0, TAG_MM), cornersPx);
    const middle = TAG_MM / 2;
    const [x0, y0] = project(h, middle, middle);
    const [x1, y1] = project(h, middle + 0.1, middle);
    const [x2, y2] = project(h, middle, middle + 0.1);
    const [a, b, c, d] = [x1 - x0, x2 - x0, y1 - y0, y2 - y0].map((value) => value * 10) as [
      number,
      number,
      number,
      number,
    ];
    return {
      x: (x0 - (grey.width - 1) / 2) / focal,
      y: (y0 - (grey.height - 1) / 2) / focal,
      leastPxPerMm: leastStretch(a, b, c, d),
      nearness: Math.cbrt(Math.abs(a * d - b * c)),
    };
  });
  return {
    tags: tags.length,
    pxPerMm: Math.min(...places.map(({ leastPxPerMm }) => leastPxPerMm)),
    tiltDeg: tiltOf(places),
  };
}

interface Place {
  readonly x: number;
  readonly y: number;
  /** proportional to one over the depth */
  readonly nearness: number;
}

function tiltOf(places: readonly Place[]): number | null {
  if (places.length < 4 || narrowSpread(places) < LEAST_SPREAD) return null;
  const m = new Float64Array(9);
  const v = new Float64Array(3);
  for (const { x, y, nearness } of places) {
    const row = [1, x, y];
    for (let i = 0; i < 3; i++) {
      v[i]! += row[i]! * nearness;
      for (let j = 0; j < 3; j++) m[3 * i + j]! += row[i]! * row[j]!;
    }
  }
  const [level, right, down] = solve(m, v, 3) as unknown as [number, number, number];
  return (Math.atan2(Math.hypot(right, down), level) * 180) / Math.PI;
}

/** Standard deviation of the places in the direction in which they spread least. */
function narrowSpread(places: readonly Place[]): number {
  const n = places.length;
  const mx = places.reduce((sum, { x }) => sum + x, 0) / n;
  const my = places.reduce((sum, { y }) => sum + y, 0) / n;
  let [xx, xy, yy] = [0, 0, 0];
  for (const { x, y } of places) {
    xx += (x - mx) ** 2 / n;
    xy += ((x - mx) * (y - my)) / n;
    yy += (y - my) ** 2 / n;
  }
  return Math.sqrt(Math.max(0, (xx + yy) / 2 - Math.hypot((xx - yy) / 2, xy)));
}

/** The smaller singular value of [a b; c d]. */
function leastStretch(a: number, b: number, c: number, d: number): number {
  return Math.abs(Math.hypot(a + d, b - c) - Math.hypot(a - d, b + c)) / 2;
}
