/**
 * The plane that every drawing lies in: millimetres of the panel (or px of one picture), x right,
 * y down. The map engine counts y upwards, so a point turns over at this edge and nowhere else.
 */
import type { Coordinate } from 'ol/coordinate.js';

export type Xy = readonly [number, number];

export const toMap = (xy: Xy): Coordinate => [xy[0], -xy[1]];
export const fromMap = (at: Coordinate): [number, number] => [at[0]!, at[1] === 0 ? 0 : -at[1]!];
export const lineToMap = (line: readonly Xy[]): Coordinate[] => line.map(toMap);

/** The map engine takes the last point of a ring for the first one again, and leaves it out. */
export const ringToMap = (ring: readonly Xy[]): Coordinate[] =>
  lineToMap(ring.length > 0 ? [...ring, ring[0]!] : ring);

/** Flat x0,y0,… or pairs → pairs. Projections answer rings in either form. */
export function pairs(
  ring: readonly number[] | readonly (readonly [number, number])[],
): readonly Xy[] {
  if (ring.length === 0) return [];
  if (typeof ring[0] !== 'number') return ring as readonly Xy[];
  const flat = ring as readonly number[];
  const points: Xy[] = [];
  for (let i = 0; i + 1 < flat.length; i += 2) points.push([flat[i]!, flat[i + 1]!]);
  return points;
}

export interface Box {
  readonly minX: number;
  readonly minY: number;
  readonly maxX: number;
  readonly maxY: number;
}

export function boxOf(points: readonly Xy[]): Box {
  let [minX, minY, maxX, maxY] = [Infinity, Infinity, -Infinity, -Infinity];
  for (const [x, y] of points) {
    minX = Math.min(minX, x);
    minY = Math.min(minY, y);
    maxX = Math.max(maxX, x);
    maxY = Math.max(maxY, y);
  }
  return { minX, minY, maxX, maxY };
}

/** CSS px are 1/96 inch: how many mm of the panel one mm of the screen shows. */
export const scaleOf = (resolutionMmPerPx: number): number => resolutionMmPerPx / (25.4 / 96);

/** Even-odd rule; points on the edge may fall either way. */
export function isInside([x, y]: Xy, ring: readonly Xy[]): boolean {
  let inside = false;
  for (let i = 0, j = ring.length - 1; i < ring.length; j = i++) {
    const [xi, yi] = ring[i]!;
    const [xj, yj] = ring[j]!;
    if (yi > y !== yj > y && x < ((xj - xi) * (y - yi)) / (yj - yi) + xi) inside = !inside;
  }
  return inside;
}

export function lengthOf(line: readonly Xy[]): number {
  let length = 0;
  for (let i = 1; i < line.length; i++)
    length += Math.hypot(line[i]![0] - line[i - 1]![0], line[i]![1] - line[i - 1]![1]);
  return length;
}

/** Shoelace, absolute. */
export function areaOf(ring: readonly Xy[]): number {
  let twice = 0;
  for (let i = 0, j = ring.length - 1; i < ring.length; j = i++)
    twice += ring[j]![0] * ring[i]![1] - ring[i]![0] * ring[j]![1];
  return Math.abs(twice) / 2;
}
