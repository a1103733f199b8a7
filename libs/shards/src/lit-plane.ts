import { type Plane, shrink } from '#libs/raster';
import type { ShardPicture } from './shard-picture.js';
import { solvePositive } from './solve-positive.js';

/** Blocks of about this size stand for the box's light when its fall-off is fitted. */
const BLOCK_PX = 8;
/** Beside the brightest tenth, what is darker than this share of it is no bare light. */
const BARE_SHARE = 0.86;
const FIT_ROUNDS = 4;

/**
 * The darkest channel of the picture over the light box's own brightness at that place: 1 is bare light.
 * The light is a surface of second degree through what is bare, found again in a few rounds.
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
  const sorted = Float32Array.from(data).sort();
  const bright = sorted[Math.floor(sorted.length * 0.9)]!;
  let light = Float64Array.of(bright, 0, 0, 0, 0, 0);
  for (let round = 0; round < FIT_ROUNDS; round++) {
    const matrix = new Float64Array(36);
    const right = new Float64Array(6);
    const terms = new Float64Array(6);
    for (let y = 0; y < height; y++) {
      const v = (2 * y + 1) / height - 1;
      for (let x = 0; x < width; x++) {
        const u = (2 * x + 1) / width - 1;
        const value = data[y * width + x]!;
        if (value < BARE_SHARE * surface(light, u, v)) continue;
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
