/** An edge followed along one side of the quadrilateral of marks: dynamic programming on the colour step. */
import type { RubbingImage } from './sheet.js';

const SAMPLES = 160;
const STEP_PX = 7;

/** Where an edge is looked for, in lengths of the side: across it, outwards, and along it from either end. */
export interface EdgeBand {
  readonly from: number;
  readonly to: number;
  readonly ends: number;
  /** Edges that stay more crooked than this in the mean are not what they were taken for. */
  readonly mostPx: number;
}

/** The edge along one side of the quadrilateral, flat pixels, or undefined. */
export function followEdge(
  image: RubbingImage,
  markX: number,
  markY: number,
  nextX: number,
  nextY: number,
  cx: number,
  cy: number,
  band: EdgeBand,
): Float64Array | undefined {
  const length = Math.hypot(nextX - markX, nextY - markY);
  let nx = (nextY - markY) / length;
  let ny = -(nextX - markX) / length;
  if (nx * (cx - markX) + ny * (cy - markY) > 0) {
    nx = -nx;
    ny = -ny;
  }
  const shift = band.from * length;
  const [ax, ay] = [markX + nx * shift, markY + ny * shift];
  const [bx, by] = [nextX + nx * shift, nextY + ny * shift];
  const share = (k: number): number => band.ends + ((1 - 2 * band.ends) * k) / (SAMPLES - 1);
  const reach = Math.round((band.to - band.from) * length);
  if (reach < 3 * STEP_PX) return undefined;
  const step = new Float32Array(SAMPLES * reach);
  const pixel = new Float32Array(3);
  /** Sums of each channel from the profile's start. */
  const sums = new Float64Array((reach + 2 * STEP_PX + 1) * 3);
  for (let k = 0; k < SAMPLES; k++) {
    const f = share(k);
    const ox = ax + f * (bx - ax);
    const oy = ay + f * (by - ay);
    for (let o = -STEP_PX; o < reach + STEP_PX; o++) {
      rgbAt(image, ox + nx * o, oy + ny * o, pixel, 0);
      const at = (o + STEP_PX) * 3;
      for (let c = 0; c < 3; c++) sums[at + 3 + c] = sums[at + c]! + pixel[c]!;
    }
    for (let o = 0; o < reach; o++) {
      let s = 0;
      for (let c = 0; c < 3; c++) {
        const middle = sums[(o + STEP_PX) * 3 + c]!;
        const inner = middle - sums[o * 3 + c]!;
        const outer = sums[(o + 2 * STEP_PX) * 3 + c]! - middle;
        s += (inner - outer) ** 2;
      }
      const x = ox + nx * o;
      const y = oy + ny * o;
      const margin = STEP_PX + 1;
      const inside =
        x > margin && y > margin && x < image.widthPx - margin && y < image.heightPx - margin;
      // compressed: a strong step elsewhere must not outvote a long weak one, nor may plateaus tie
      step[k * reach + o] = inside ? 20 * Math.log1p(Math.sqrt(s) / STEP_PX / 20) : 0;
    }
  }
  // best path: at most two pixels sideways from sample to sample
  const gain = new Float64Array(SAMPLES * reach);
  const back = new Int8Array(SAMPLES * reach);
  for (let o = 0; o < reach; o++) gain[o] = step[o]!;
  for (let k = 1; k < SAMPLES; k++) {
    for (let o = 0; o < reach; o++) {
      let best = -Infinity;
      let from = 0;
      for (let j = -2; j <= 2; j++) {
        const p = o + j;
        if (p < 0 || p >= reach) continue;
        const g = gain[(k - 1) * reach + p]! - 1.5 * (j < 0 ? -j : j);
        if (g > best) {
          best = g;
          from = j;
        }
      }
      gain[k * reach + o] = best + step[k * reach + o]!;
      back[k * reach + o] = from;
    }
  }
  let o = 0;
  for (let p = 1; p < reach; p++) {
    if (gain[(SAMPLES - 1) * reach + p]! > gain[(SAMPLES - 1) * reach + o]!) o = p;
  }
  const out: number[] = [];
  let seen = 0;
  for (let k = SAMPLES - 1; k >= 0; k--) {
    if (step[k * reach + o]! > 4 && o > 0 && o < reach - 1) {
      const f = share(k);
      const x = ax + f * (bx - ax);
      const y = ay + f * (by - ay);
      const sub = fineEdge(image, x, y, nx, ny, o);
      out.push(x + nx * sub, y + ny * sub);
      seen++;
    }
    o += back[k * reach + o]!;
  }
  return seen > 0.7 * SAMPLES ? Float64Array.from(out) : undefined;
}

/** Centroid of the colour gradient within 4 px of offset `o`, profile averaged over 5 px along the edge. */
function fineEdge(
  image: RubbingImage,
  x: number,
  y: number,
  nx: number,
  ny: number,
  o: number,
): number {
  const half = 6;
  const sum = new Float32Array((2 * half + 1) * 3);
  const one = new Float32Array(3);
  for (let j = -half; j <= half; j++) {
    for (let along = -2; along <= 2; along++) {
      rgbAt(
        image,
        x + nx * (o + j - 0.5) - ny * along,
        y + ny * (o + j - 0.5) + nx * along,
        one,
        0,
      );
      for (let c = 0; c < 3; c++) sum[(j + half) * 3 + c]! += one[c]! / 5;
    }
  }
  // along the colour difference of both ends, so that wood grain and wax specks count little
  const d = [0, 1, 2].map(
    (c) => sum[2 * half * 3 + c]! + sum[(2 * half - 1) * 3 + c]! - sum[c]! - sum[3 + c]!,
  );
  let weight = 0;
  let moment = 0;
  for (let j = -4; j < 4; j++) {
    let g = 0;
    for (let c = 0; c < 3; c++)
      g += (sum[(j + 1 + half) * 3 + c]! - sum[(j + half) * 3 + c]!) * d[c]!;
    if (g <= 0) continue;
    const w = g * g;
    weight += w;
    moment += w * (j + 0.5);
  }
  return o - 0.5 + (weight > 0 ? moment / weight : 0);
}

function rgbAt(image: RubbingImage, x: number, y: number, out: Float32Array, at: number): void {
  const w = image.widthPx;
  const right = w - 1.001;
  const bottom = image.heightPx - 1.001;
  const cx = x < 0 ? 0 : x > right ? right : x;
  const cy = y < 0 ? 0 : y > bottom ? bottom : y;
  const x0 = cx | 0;
  const y0 = cy | 0;
  const fx = cx - x0;
  const fy = cy - y0;
  const i = (y0 * w + x0) * 3;
  const { rgb } = image;
  for (let c = 0; c < 3; c++) {
    const a = rgb[i + c]! + fx * (rgb[i + 3 + c]! - rgb[i + c]!);
    const j = i + 3 * w + c;
    const b = rgb[j]! + fx * (rgb[j + 3]! - rgb[j]!);
    out[at + c] = a + fy * (b - a);
  }
}
