import { type Plane, shrink } from '#libs/raster';
import type { ShardPicture } from './shard-picture.js';
import { solvePositive } from './solve-positive.js';

/** Blocks of about this size stand for the box's light when its fall-off is fitted. */
const BLOCK_PX = 8;
/** What differs from the fitted light by more than this share is no bare light. */
const BARE_WITHIN = 0.04;
/** The first fit sees only a band of so many blocks along the picture's edge, where no shard lies. */
const BAND_BLOCKS = 3;
/** … and takes the light's fall-off as it comes. */
const FIRST_WITHIN = 0.25;
const FIT_ROUNDS = 4;

/**
 * The darkest channel of the picture over the light box's own brightness at that place: 1 is bare light.
 * The light is a surface of second degree, fitted to the picture's margin first and then to all that is as bright: clear glass must not
 * be taken for light.
 */
export function litPlane({ widthPx, heightPx, rgb }: ShardPicture): Plane {
  const data = new Float32Array(widthPx * heightPx);
  for (let i = 0, j = 0; i < data.length; i++, j += 3) {
    const r = rgb[j]!;
    const g = rgb[j + 1]!;
    const b = rgb[j + 2]!;
    data[i] = r < g ? (r < b ? r : b) : g < b ? g : b;
  }
  const plane = { width: widthPx, height: heightPx, data };
  const k = Math.max(1, Math.min(BLOCK_PX, Math.floor(Math.min(widthPx, heightPx) / 8)));
  const light = lightOf(shrink(plane, k));
  for (let y = 0, i = 0; y < heightPx; y++) {
    const v = (2 * y) / heightPx - 1;
    for (let x = 0; x < widthPx; x++, i++) {
      const u = (2 * x) / widthPx - 1;
      data[i]! /= Math.max(1, surface(light, u, v));
    }
  }
  return plane;
}

const surface = (c: Float64Array, u: number, v: number): number =>
  c[0]! + c[1]! * u + c[2]! * v + c[3]! * u * u + c[4]! * u * v + c[5]! * v * v;

function lightOf({ width, height, data }: Plane): Float64Array {
  const band: number[] = [];
  const isBand = (x: number, y: number): boolean =>
    Math.min(x, y, width - 1 - x, height - 1 - y) < BAND_BLOCKS;
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) if (isBand(x, y)) band.push(data[y * width + x]!);
  }
  band.sort((p, q) => p - q);
  let light = Float64Array.of(band[Math.floor(band.length * 0.6)]!, 0, 0, 0, 0, 0);
  for (let round = 0; round < FIT_ROUNDS; round++) {
    const matrix = new Float64Array(36);
    const right = new Float64Array(6);
    const terms = new Float64Array(6);
    for (let y = 0; y < height; y++) {
      const v = (2 * y + 1) / height - 1;
      for (let x = 0; x < width; x++) {
        const u = (2 * x + 1) / width - 1;
        const value = data[y * width + x]!;
        const off = Math.abs(value / surface(light, u, v) - 1);
        if (round === 0 ? !isBand(x, y) || off > FIRST_WITHIN : off > BARE_WITHIN) continue;
        terms[0] = 1;
        terms[1] = u;
        terms[2] = v;
        terms[3] = u * u;
        terms[4] = u * v;
        terms[5] = v * v;
        for (let a = 0; a < 6; a++) {
          right[a]! += terms[a]! * value;
          for (let b = 0; b < 6; b++) matrix[a * 6 + b]! += terms[a]! * terms[b]!;
        }
      }
    }
    for (let a = 0; a < 6; a++) matrix[a * 7]! += 1e-6;
    light = solvePositive(matrix, right) ?? light;
  }
  return light;
}
