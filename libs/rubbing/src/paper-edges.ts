/**
 * Lens distortion from edges that are straight: of the paper, or, where none is seen, of the outer cames.
 *
 * Leads bow by a millimetre; a sheet's edge does not. k1 is chosen so that the edges become straight.
 */
import { type EdgeBand, followEdge } from './edge-path.js';
import { type Lens, lensOf, undistort } from './lens.js';
import type { RubbingImage } from './sheet.js';

/** Marks stand on the paper; its edge is outside them. */
const PAPER: EdgeBand = { from: 0, to: 0.16, ends: 0.02, mostPx: 0.6 };
/**
 * Dark paper stands out less from a table, and specks of light wax more: three generated rubbings on it came out at 0.76
 * to 0.95 px with k1 right within 0.0007.
 */
const DARK_PAPER: EdgeBand = { ...PAPER, mostPx: 1.2 };
/** Level below which paper is dark: black came to 35-45, white in shadow to 110 and more. */
const DARK_BELOW = 80;
/** Marks stand at the panel's corners or a little outside them. Wax has a rough edge. */
const CAME: EdgeBand = { from: -0.1, to: 0.015, ends: 0.1, mostPx: 2 };

export interface StraightEdges {
  readonly lens: Lens;
  /** Mean departure of the edges from straight. */
  readonly residualPx: number;
  readonly edges: number;
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
  const band = paperLevel(image, quad) < DARK_BELOW ? DARK_PAPER : PAPER;
  return lensFromEdges(image, followed(image, quad, band), k2, band.mostPx);
}

/** Median of red, green and blue together along the sides of the quadrilateral, which runs over bare paper for most of its length. */
function paperLevel({ rgb, widthPx, heightPx }: RubbingImage, quad: ArrayLike<number>): number {
  const levels: number[] = [];
  for (let k = 0; k < 8; k += 2) {
    for (let f = 0.02; f < 1; f += 0.01) {
      const x = Math.round(quad[k]! + f * (quad[(k + 2) % 8]! - quad[k]!));
      const y = Math.round(quad[k + 1]! + f * (quad[(k + 3) % 8]! - quad[k + 1]!));
      if (x < 0 || y < 0 || x >= widthPx || y >= heightPx) continue;
      const i = 3 * (y * widthPx + x);
      levels.push((rgb[i]! + rgb[i + 1]! + rgb[i + 2]!) / 3);
    }
  }
  return levels.sort((a, b) => a - b)[levels.length >> 1] ?? 255;
}

/**
 * The same by the outer cames, which bow of themselves: a fallback. `disagreement` is the standard error of k1 by how well
 * the cames, each taken alone, agree.
 */
export function lensFromOuterCames(
  image: RubbingImage,
  quad: ArrayLike<number>,
  k2 = 0,
): (StraightEdges & { readonly disagreement: number }) | undefined {
  const cames = followed(image, quad, CAME);
  const found = lensFromEdges(image, cames, k2, CAME.mostPx);
  return found && { ...found, disagreement: disagreementOf(image, k2, cames) };
}

/** The edges that are seen along the four sides. */
function followed(image: RubbingImage, quad: ArrayLike<number>, band: EdgeBand): Float64Array[] {
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
  return edges;
}

function lensFromEdges(
  image: RubbingImage,
  edges: readonly Float64Array[],
  k2: number,
  mostPx: number,
): StraightEdges | undefined {
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
  if (residualPx > mostPx) return undefined;
  return { lens: lensOf(image, best, k2), residualPx, edges: edges.length };
}

/** k1 of least cost between -0.1 and 0.1, to 0.00004. */
function leastOf(cost: (k1: number) => number): number {
  let best = 0;
  let least = cost(best);
  const isBetter = (k1: number): boolean => {
    const c = cost(k1);
    if (!(c < least)) return false;
    best = k1;
    least = c;
    return true;
  };
  for (let k1 = -0.1; k1 <= 0.1001; k1 += 0.004) isBetter(k1);
  for (let step = 0.002; step > 0.00004; step /= 2) {
    const middle = best;
    if (!isBetter(middle - step)) isBetter(middle + step);
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
