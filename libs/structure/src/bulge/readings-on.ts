/** Points of a survey in space, laid on the panel by its corners. */
import type { XyMm } from '#libs/net';
import type { ReadPoint } from './readings-csv.js';
import { refuseReadings as refuse } from './refuse-readings.js';
import type { Reading } from './surface.js';

/** Corners of the panel as seen from inside. */
export const CORNER_NAMES = ['TL', 'TR', 'BR', 'BL'] as const;
export type CornerName = (typeof CORNER_NAMES)[number];

/** Farther than this from where the panel has them, corners are of another panel, or swapped. */
const CORNER_OFF_MM = 25;

/**
 * Points of a survey in space → readings of the panel. Where at least three corners are among them
 * (`TL`, `TR`, `BR`, `BL`, as seen from inside), the panel is laid on them and the corners are readings
 * too; else x and y are taken as they are, right and down from the top left corner.
 *
 * @throws StructureError `bad-readings` where corners do not fit the panel
 */
export function readingsOn(
  points: readonly ReadPoint[],
  cornersMm: Readonly<Record<CornerName, XyMm>>,
): Reading[] {
  const named = new Map<CornerName, readonly [number, number, number]>();
  for (const { name, xyzMm } of points) {
    const corner = CORNER_NAMES.find((one) => one === name?.toUpperCase());
    if (corner === undefined) continue;
    if (named.has(corner)) refuse(`the corner ${corner} stands there twice`);
    named.set(corner, xyzMm);
  }
  if (named.size === 0) return points.map(({ xyzMm }) => xyzMm);
  if (named.size < 3) {
    refuse(`name at least three corners of ${CORNER_NAMES.join(', ')}; there are ${named.size}`);
  }
  const frame = frameOf(named, cornersMm);
  for (const [corner, place] of named) {
    const [x, y] = frame(place);
    const off = Math.hypot(x - cornersMm[corner][0], y - cornersMm[corner][1]);
    if (off > CORNER_OFF_MM) {
      refuse(
        `the corner ${corner} lies ${Math.round(off)} mm from where this panel has it; check the unit, the panel and whether corners are named as seen from inside`,
      );
    }
  }
  return points.map(({ xyzMm }) => frame(xyzMm));
}

type Vector = readonly [number, number, number];

/** From space into the panel: x right, y down, out towards who stands inside. */
function frameOf(
  named: ReadonlyMap<CornerName, Vector>,
  cornersMm: Readonly<Record<CornerName, XyMm>>,
): (place: Vector) => Reading {
  const known = [...named];
  const middle = mean(known.map(([, place]) => place));
  const flat = known.map(([name]) => [...cornersMm[name], 0] as const);
  const flatMiddle = mean(flat);
  // x and y as they run in space: least squares over the corners, then made square to each other.
  const [u, v] = inPlane(
    known.map(([, place]) => less(place, middle)),
    flat.map((place) => less(place, flatMiddle)),
  );
  const right = unit(u);
  const inwards = unit(cross(v, right));
  const down = cross(right, inwards);
  return (place) => {
    const from = less(place, middle);
    return [
      flatMiddle[0] + dot3(from, right),
      flatMiddle[1] + dot3(from, down),
      dot3(from, inwards),
    ];
  };
}

/** Directions in space of x and y, by least squares: place ≈ x u + y v. */
function inPlane(places: readonly Vector[], flat: readonly Vector[]): [Vector, Vector] {
  const sum = (term: (i: number) => number) => flat.reduce((total, _, i) => total + term(i), 0);
  const xx = sum((i) => flat[i]![0] ** 2);
  const xy = sum((i) => flat[i]![0] * flat[i]![1]);
  const yy = sum((i) => flat[i]![1] ** 2);
  const determinant = xx * yy - xy * xy;
  const direction = (a: number, b: number): Vector => {
    const along = (k: 0 | 1 | 2) =>
      sum((i) => (a * flat[i]![0] + b * flat[i]![1]) * places[i]![k]) / determinant;
    return [along(0), along(1), along(2)];
  };
  return [direction(yy, -xy), direction(-xy, xx)];
}

function mean(places: readonly Vector[]): Vector {
  const along = (k: 0 | 1 | 2) => places.reduce((sum, place) => sum + place[k], 0) / places.length;
  return [along(0), along(1), along(2)];
}

function less(a: Vector, b: Vector): Vector {
  return [a[0] - b[0], a[1] - b[1], a[2] - b[2]];
}

function cross(a: Vector, b: Vector): Vector {
  return [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
}

function dot3(a: Vector, b: Vector): number {
  return a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
}

function unit(a: Vector): Vector {
  const length = Math.hypot(...a);
  return [a[0] / length, a[1] / length, a[2] / length];
}
