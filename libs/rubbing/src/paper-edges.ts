/**
 * Lens distortion from edges that are straight: of the paper, or, where none is seen, of the outer cames.
 *
 * Leads bow by a millimetre; a sheet's edge does not. Along each side of the quadrilateral of marks the edge is followed
 * (dynamic programming on the colour step), and k1 is chosen so that the edges become straight.
 */
import { type Lens, lensOf, undistort } from './lens.js';
import type { RubbingImage } from './sheet.js';

const SAMPLES = 160;
const STEP_PX = 7;

/** Where an edge is looked for, in lengths of the side: across it, outwards, and along it from either end. */
interface Band {
  readonly from: number;
  readonly to: number;
  readonly ends: number;
  /** Edges that stay more crooked than this in the mean are not what they were taken for. */
  readonly mostPx: number;
}

/** Marks stand on the paper; its edge is outside them. */
const PAPER: Band = { from: 0, to: 0.16, ends: 0.02, mostPx: 0.6 };
/** Marks stand at the panel's corners or a little outside them. Wax has a rough edge. */
const CAME: Band = { from: -0.1, to: 0.015, ends: 0.1, mostPx: 2 };

export interface StraightEdges {
  readonly lens: Lens;
  /** Mean departure of the edges from straight. */
  readonly residualPx: number;
  readonly edges: number;
  /** Standard error of k1 by how well the edges, each taken alone, agree. */
  readonly disagreement: number;
}

/**
 * k1 by the paper's edges; undefined when fewer than two are seen or they stay crooked, as when a scan cuts the sheet.
 * @param quad the four marks in pixels, in order round the sheet (flat)
 */
export function lensFromPaperEdges(
  image: RubbingImage,
  quad: ArrayLike<number>,
  k2 = 0,
): StraightEdges | undefined {
  return lensFromEdges(image, quad, k2, PAPER);
}

/** The same by the outer cames, which bow of themselves: a fallback. */
export function lensFromOuterCames(
  image: RubbingImage,
  quad: ArrayLike<number>,
  k2 = 0,
): StraightEdges | undefined {
  return lensFromEdges(image, quad, k2, CAME);
}

function lensFromEdges(
  image: RubbingImage,
  quad: ArrayLike<number>,
  k2: number,
  band: Band,
): StraightEdges | undefined {
  const cx = (quad[0]! + quad[2]! + quad[4]! + quad[6]!) / 4;
  const cy = (quad[1]! + quad[3]! + quad[5]! + quad[7]!) / 4;
  const edges: Float64Array[] = [];
  for (let k = 0; k < 4; k++) {
    const ax = quad[2 * k]!;
    const ay = quad[2 * k + 1]!;
    const bx = quad[(2 * k + 2) % 8]!;
    const by = quad[(2 * k + 3) % 8]!;
    const edge = followEdge(image, ax, ay, bx, by, cx, cy, band);
    if (edge) edges.push(edge);
  }
  if (edges.length < 2) return undefined;
  const cost = (k1: number): number => {
    const lens = lensOf(image, k1, k2);
    const each = edges.map((edge) => crookednessPx(edge, lens)).sort((a, b) => a - b);
    // the most crooked of three or four (tape, a cut sheet) is left out
    if (each.length > 2) each.pop();
    return each.reduce((a, b) => a + b, 0) / each.length;
  };
  const best = leastOf(cost);
  const residualPx = cost(best);
  if (residualPx > band.mostPx) return undefined;
  return {
    lens: lensOf(image, best, k2),
    residualPx,
    edges: edges.length,
    disagreement: disagreementOf(image, k2, edges),
  };
}

/** k1 of least cost between -0.1 and 0.1, to 0.00004. */
function leastOf(cost: (k1: number) => number): number {
  let best = 0;
  for (let k1 = -0.1; k1 <= 0.1001; k1 += 0.004) if (cost(k1) < cost(best)) best = k1;
  for (let step = 0.002; step > 0.00004; step /= 2) {
    if (cost(best - step) < cost(best)) best -= step;
    else if (cost(best + step) < cost(best)) best += step;
  }
  return best;
}

/** Each edge's own k1 weighted by how much k1 bends it: the square of its distance from the middle times its length squared. */
function disagreementOf(image: RubbingImage, k2: number, edges: readonly Float64Array[]): number {
  const middle = lensOf(image, 0);
  const alone = edges.map((edge) => {
    const n = edge.length;
    const [ax, ay, bx, by] = [edge[0]!, edge[1]!, edge[n - 2]!, edge[n - 1]!];
    const length = Math.hypot(bx - ax, by - ay);
    const away =
      Math.abs((middle.centreX - ax) * (by - ay) - (middle.centreY - ay) * (bx - ax)) / length;
    return {
      k1: leastOf((k1) => crookednessPx(edge, lensOf(image, k1, k2))),
      weight: (away * length * length) ** 2,
    };
  });
  const total = alone.reduce((s, e) => s + e.weight, 0);
  const mean = alone.reduce((s, e) => s + e.weight * e.k1, 0) / total;
  const spread = alone.reduce((s, e) => s + e.weight * (e.k1 - mean) ** 2, 0) / total;
  return Math.sqrt(spread / Math.max(1, edges.length - 1));
}

/** Mean |distance| in pixels of the undistorted edge from its own robust line. */
function crookednessPx(edge: Float64Array, lens: Lens): number {
  const n = edge.length / 2;
  const x = new Float64Array(n);
  const y = new Float64Array(n);
  for (let k = 0; k < n; k++) [x[k], y[k]] = undistort(lens, edge[2 * k]!, edge[2 * k + 1]!);
  const dx = x[n - 1]! - x[0]!;
  const dy = y[n - 1]! - y[0]!;
  const length = Math.hypot(dx, dy);
  const t = new Float64Array(n);
  const d = new Float64Array(n);
  for (let k = 0; k < n; k++) {
    t[k] = ((x[k]! - x[0]!) * dx + (y[k]! - y[0]!) * dy) / length;
    d[k] = ((y[k]! - y[0]!) * dx - (x[k]! - x[0]!) * dy) / length;
  }
  let a = 0;
  let b = 0;
  for (let round = 0; round < 8; round++) {
    let s0 = 0;
    let st = 0;
    let stt = 0;
    let sd = 0;
    let std = 0;
    for (let k = 0; k < n; k++) {
      const off = d[k]! - a - b * t[k]!;
      const r = off < 0 ? -off : off;
      const w = round === 0 ? 1 : 1 / (r > 0.3 ? r : 0.3);
      s0 += w;
      st += w * t[k]!;
      stt += w * t[k]! * t[k]!;
      sd += w * d[k]!;
      std += w * t[k]! * d[k]!;
    }
    const det = s0 * stt - st * st;
    b = (s0 * std - st * sd) / det;
    a = (sd - b * st) / s0;
  }
  let sum = 0;
  for (let k = 0; k < n; k++) sum += Math.min(4, Math.abs(d[k]! - a - b * t[k]!));
  return sum / n;
}

/** The edge along one side of the quadrilateral, flat pixels, or undefined. */
function followEdge(
  image: RubbingImage,
  markX: number,
  markY: number,
  nextX: number,
  nextY: number,
  cx: number,
  cy: number,
  band: Band,
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
  const profile = new Float32Array((reach + 2 * STEP_PX) * 3);
  for (let k = 0; k < SAMPLES; k++) {
    const f = share(k);
    const ox = ax + f * (bx - ax);
    const oy = ay + f * (by - ay);
    for (let o = -STEP_PX; o < reach + STEP_PX; o++) {
      rgbAt(image, ox + nx * o, oy + ny * o, profile, (o + STEP_PX) * 3);
    }
    for (let o = 0; o < reach; o++) {
      let s = 0;
      for (let c = 0; c < 3; c++) {
        let inner = 0;
        let outer = 0;
        for (let j = 1; j <= STEP_PX; j++) {
          inner += profile[(o + STEP_PX - j) * 3 + c]!;
          outer += profile[(o + STEP_PX + j - 1) * 3 + c]!;
        }
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
