import { FIELD_CELLS_PER_MM } from './distance-field.js';
import type { Turn } from './pose.js';
import type { ShardFace } from './shard-face.js';

/** Edges face one another where their normals' product is below this. */
export const FACING = -0.6;

/**
 * Sums of one least-squares step: how far edge points lie from a face's edge, beyond the wanted gap, against a small
 * turn and shift of the points. [xx, xy, xr, yy, yr, rr, x, y, r, weight, squares].
 */
export type FitSums = Float64Array<ArrayBuffer>;
export const makeFitSums = (): FitSums => new Float64Array(11);

/**
 * Adds the points of `point` that face `solid`'s edge, weighted by Tukey's biweight of radius `reachMm`.
 * @param rel takes point's frame into solid's
 * @param world takes solid's frame into the one in which the motion is sought, about (centreX, centreY)
 */
export function addFitSums(
  sums: FitSums,
  solid: ShardFace,
  point: ShardFace,
  rel: Turn,
  world: Turn,
  centreX: number,
  centreY: number,
  gapMm: number,
  reachMm: number,
  sign: 1 | -1 = 1,
): void {
  const { x0, y0, width, height, distance, nearest } = solid.field;
  const { ring, normals } = point;
  const { cos, sin } = rel;
  const offsetX = rel.x - x0;
  const offsetY = rel.y - y0;
  const uMax = width - 1;
  const vMax = height - 1;
  const inverse = 1 / reachMm;
  for (let i = 0; i < ring.length; i += 2) {
    const px = ring[i]!;
    const py = ring[i + 1]!;
    const u = (cos * px - sin * py + offsetX) * FIELD_CELLS_PER_MM;
    const v = (sin * px + cos * py + offsetY) * FIELD_CELLS_PER_MM;
    if (!(u >= 0 && v >= 0 && u < uMax && v < vMax)) continue;
    const ui = u | 0;
    const vi = v | 0;
    const k = vi * width + ui;
    const d00 = distance[k]!;
    const coarse = (d00 - gapMm) * inverse;
    if (coarse > 1.5 || coarse < -1.5) continue;
    const fu = u - ui;
    const fv = v - vi;
    const d10 = distance[k + 1]!;
    const d01 = distance[k + width]!;
    const d11 = distance[k + width + 1]!;
    const top = d00 + fu * (d10 - d00);
    const bottom = d01 + fu * (d11 - d01);
    const e = top + fv * (bottom - top) - gapMm;
    const q = e * inverse;
    if (q >= 1 || q <= -1) continue;
    const near = nearest[k]!;
    if (near < 0) continue;
    const nx = cos * normals[i]! - sin * normals[i + 1]!;
    const ny = sin * normals[i]! + cos * normals[i + 1]!;
    const sx = solid.normals[2 * near]!;
    const sy = solid.normals[2 * near + 1]!;
    if (nx * sx + ny * sy > FACING) continue;
    let gx = d10 - d00 + fv * (d11 - d10 - d01 + d00);
    let gy = d01 - d00 + fu * (d11 - d01 - d10 + d00);
    const length = Math.sqrt(gx * gx + gy * gy);
    if (length < 0.05) continue;
    gx /= length;
    gy /= length;
    // into the frame of the motion
    const lx = u / FIELD_CELLS_PER_MM + x0;
    const ly = v / FIELD_CELLS_PER_MM + y0;
    const wx = world.cos * lx - world.sin * ly + world.x - centreX;
    const wy = world.sin * lx + world.cos * ly + world.y - centreY;
    const hx = sign * (world.cos * gx - world.sin * gy);
    const hy = sign * (world.sin * gx + world.cos * gy);
    const hr = hy * wx - hx * wy;
    const shape = 1 - q * q;
    const weight = shape * shape;
    sums[0]! += weight * hx * hx;
    sums[1]! += weight * hx * hy;
    sums[2]! += weight * hx * hr;
    sums[3]! += weight * hy * hy;
    sums[4]! += weight * hy * hr;
    sums[5]! += weight * hr * hr;
    sums[6]! += weight * hx * e;
    sums[7]! += weight * hy * e;
    sums[8]! += weight * hr * e;
    sums[9]! += weight;
    sums[10]! += weight * e * e;
  }
}

/** The step that brings the residuals down: [dx, dy, angle], held a little where nothing fixes it; null without points. */
export function fitStep(s: FitSums): [number, number, number] | null {
  if (s[9]! < 2) return null;
  const hold = 0.02 * s[9]! + 0.05;
  const a = s[0]! + hold * 0.1;
  const b = s[1]!;
  const c = s[2]!;
  const d = s[3]! + hold * 0.1;
  const e = s[4]!;
  const f = s[5]! + hold * 20;
  const A = d * f - e * e;
  const B = c * e - b * f;
  const C = b * e - c * d;
  const det = a * A + b * B + c * C;
  if (!(Math.abs(det) > 1e-9)) return null;
  const D = a * f - c * c;
  const E = b * c - a * e;
  const F = a * d - b * b;
  const [x, y, r] = [-s[6]!, -s[7]!, -s[8]!];
  return [
    (A * x + B * y + C * r) / det,
    (B * x + D * y + E * r) / det,
    (C * x + E * y + F * r) / det,
  ];
}
