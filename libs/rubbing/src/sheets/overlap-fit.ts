/** A guess of how two sheets overlap, made exact by matching patches of the wax, and how well they agree there. */
import { bilinear } from '#libs/raster';
import { solve } from '../homography.js';
import { after, inverseOf, moved, type Rigid } from './rigid.js';
import type { WaxPicture } from './wax-picture.js';

export interface OverlapFit {
  /** Frame of the second sheet → frame of the first. */
  readonly place: Rigid;
  /** Correlation of the wax over the whole overlap. */
  readonly correlation: number;
  readonly overlapMm2: number;
  /** Patches whose wax was found on both sheets. */
  readonly patches: number;
  /** Median distance between where a patch lies on the first sheet and where the fit puts it, mm. */
  readonly medianMm: number;
  readonly worstMm: number;
}

const PATCH_MM = 26;
const SPACING_MM = 18;
/** A patch counts when it holds wax and its own correlation is at least this. */
const LEAST_PATCH_CORRELATION = 0.45;

/** Undefined when fewer than three patches are found on both sheets. */
export function fitOverlap(a: WaxPicture, b: WaxPicture, guess: Rigid): OverlapFit | undefined {
  let place = guess;
  let matches: Match[] = [];
  for (const reachMm of [7, 3, 2]) {
    matches = matchPatches(a, b, place, reachMm);
    if (matches.length < 3) return undefined;
    place = robustRigid(matches, place);
  }
  const off = matches.map((match) => offMm(place, match)).sort((p, q) => p - q);
  return {
    place,
    ...overlapCorrelation(a, b, place),
    patches: matches.length,
    medianMm: off[off.length >> 1]!,
    worstMm: off.at(-1)!,
  };
}

interface Match {
  /** In the frame of the second sheet. */
  readonly from: readonly [number, number];
  /** In the frame of the first. */
  readonly to: readonly [number, number];
  /**
   * How sharply the correlation falls off from there: xx, xy, yy of its negative second derivative. A patch with one
   * straight lead fixes its place across the lead only.
   */
  readonly bend: readonly [number, number, number];
}

/** Distance from where the fit puts the patch, as far as the patch can tell. */
function offMm(place: Rigid, { from, to, bend: [xx, xy, yy] }: Match): number {
  const [x, y] = moved(place, from[0], from[1]);
  const dx = x - to[0];
  const dy = y - to[1];
  const sharpest = (xx + yy) / 2 + Math.hypot((xx - yy) / 2, xy);
  return Math.sqrt(Math.max(0, xx * dx * dx + 2 * xy * dx * dy + yy * dy * dy) / sharpest);
}

/** Least squares over turn and shift, reweighted: patches off by more than half a millimetre lose their say (Cauchy). */
function robustRigid(matches: readonly Match[], start: Rigid): Rigid {
  let place = start;
  for (let round = 0; round < 6; round++) {
    const m = new Float64Array(9);
    const v = new Float64Array(3);
    for (const match of matches) {
      const { from, to } = match;
      const [x, y] = moved(place, from[0], from[1]);
      const weight = 1 / (1 + (offMm(place, match) / 0.5) ** 2);
      const [xx, xy, yy] = match.bend;
      // d(x, y) / d(shift x, shift y, turn about the origin of the common frame)
      const gx = [1, 0, -y];
      const gy = [0, 1, x];
      const rx = to[0] - x;
      const ry = to[1] - y;
      for (let i = 0; i < 3; i++) {
        const px = weight * (xx * gx[i]! + xy * gy[i]!);
        const py = weight * (xy * gx[i]! + yy * gy[i]!);
        for (let j = 0; j < 3; j++) m[3 * i + j]! += px * gx[j]! + py * gy[j]!;
        v[i]! += px * rx + py * ry;
      }
    }
    for (let i = 0; i < 3; i++) m[4 * i]! += 1e-9;
    const [tx, ty, turn] = solve(m, v, 3) as unknown as [number, number, number];
    place = after({ c: Math.cos(turn), s: Math.sin(turn), tx, ty }, place);
  }
  return place;
}

function matchPatches(a: WaxPicture, b: WaxPicture, place: Rigid, reachMm: number): Match[] {
  const bFromA = inverseOf(place);
  const s = a.pxPerMm;
  const step = Math.max(4, Math.round(SPACING_MM * s));
  const half = Math.round((PATCH_MM / 2) * s);
  const reach = Math.ceil(reachMm * s);
  const side = 2 * half + 1;
  const wide = side + 2 * reach;
  const out: Match[] = [];
  const patchB = new Float64Array(side * side);
  const patchA = new Float64Array(wide * wide);
  for (let cy = half + reach; cy < a.wax.height - half - reach; cy += step) {
    for (let cx = half + reach; cx < a.wax.width - half - reach; cx += step) {
      if (!isSeenOnBoth(a, b, bFromA, cx, cy, half)) continue;
      let energy = 0;
      for (let v = 0; v < side; v++) {
        for (let u = 0; u < side; u++) {
          const value = waxOfOther(a, b, bFromA, cx - half + u, cy - half + v);
          patchB[v * side + u] = value;
          energy += value * value;
        }
      }
      if (energy < 1e-3 * side * side) continue; // bare paper says nothing
      for (let v = 0; v < wide; v++) {
        const row = (cy - half - reach + v) * a.wax.width + cx - half - reach;
        for (let u = 0; u < wide; u++) patchA[v * wide + u] = a.wax.data[row + u]!;
      }
      const best = bestShift(patchA, wide, patchB, side, energy, reach);
      if (best === undefined) continue;
      const x = a.originMm[0] + cx / s;
      const y = a.originMm[1] + cy / s;
      out.push({
        from: moved(bFromA, x, y),
        to: [x + best.dx / s, y + best.dy / s],
        bend: best.bend,
      });
    }
  }
  return out;
}

function bestShift(
  patchA: Float64Array,
  wide: number,
  patchB: Float64Array,
  side: number,
  energyB: number,
  reach: number,
): { dx: number; dy: number; bend: [number, number, number] } | undefined {
  const n = 2 * reach + 1;
  const score = new Float64Array(n * n);
  let top = 0;
  for (let dy = 0; dy < n; dy++) {
    for (let dx = 0; dx < n; dx++) {
      let both = 0;
      let energyA = 0;
      for (let v = 0; v < side; v++) {
        const row = (v + dy) * wide + dx;
        for (let u = 0; u < side; u++) {
          const p = patchA[row + u]!;
          both += p * patchB[v * side + u]!;
          energyA += p * p;
        }
      }
      const value = energyA > 0 ? both / Math.sqrt(energyA * energyB) : 0;
      score[dy * n + dx] = value;
      if (value > score[top]!) top = dy * n + dx;
    }
  }
  const value = score[top]!;
  const tx = top % n;
  const ty = (top - tx) / n;
  // at the rim of the search the maximum lies elsewhere
  if (value < LEAST_PATCH_CORRELATION || tx === 0 || ty === 0 || tx === n - 1 || ty === n - 1)
    return undefined;
  const at = (u: number, v: number): number => score[top + v * n + u]!;
  const xx = 2 * value - at(-1, 0) - at(1, 0);
  const yy = 2 * value - at(0, -1) - at(0, 1);
  const xy = (at(-1, 1) + at(1, -1) - at(1, 1) - at(-1, -1)) / 4;
  // along a straight lead nothing is known: the damping leaves the place where the search found it
  const damp = 0.02 * (xx + yy);
  const det = (xx + damp) * (yy + damp) - xy * xy;
  if (xx + yy <= 0 || det <= 0) return undefined;
  const gx = (at(1, 0) - at(-1, 0)) / 2;
  const gy = (at(0, 1) - at(0, -1)) / 2;
  const limit = (d: number): number => Math.min(1, Math.max(-1, d));
  return {
    dx: tx - reach + limit(((yy + damp) * gx - xy * gy) / det),
    dy: ty - reach + limit(((xx + damp) * gy - xy * gx) / det),
    bend: [Math.max(0, xx), xy, Math.max(0, yy)],
  };
}

/** Wax of `b` under the pixel (x, y) of `a`; 0 off its sheet. */
function waxOfOther(a: WaxPicture, b: WaxPicture, bFromA: Rigid, x: number, y: number): number {
  const [mx, my] = moved(bFromA, a.originMm[0] + x / a.pxPerMm, a.originMm[1] + y / a.pxPerMm);
  const u = (mx - b.originMm[0]) * b.pxPerMm;
  const v = (my - b.originMm[1]) * b.pxPerMm;
  if (u < 0 || v < 0 || u > b.wax.width - 1 || v > b.wax.height - 1) return 0;
  return bilinear(b.wax, u, v);
}

function seenOnOther(a: WaxPicture, b: WaxPicture, bFromA: Rigid, x: number, y: number): boolean {
  const [mx, my] = moved(bFromA, a.originMm[0] + x / a.pxPerMm, a.originMm[1] + y / a.pxPerMm);
  const u = Math.round((mx - b.originMm[0]) * b.pxPerMm);
  const v = Math.round((my - b.originMm[1]) * b.pxPerMm);
  return (
    u >= 0 &&
    v >= 0 &&
    u < b.wax.width &&
    v < b.wax.height &&
    b.mask.data[v * b.wax.width + u]! > 0.5
  );
}

function isSeenOnBoth(
  a: WaxPicture,
  b: WaxPicture,
  bFromA: Rigid,
  cx: number,
  cy: number,
  half: number,
): boolean {
  for (const dy of [-half, 0, half]) {
    for (const dx of [-half, 0, half]) {
      if (a.mask.data[(cy + dy) * a.wax.width + cx + dx]! < 0.5) return false;
      if (!seenOnOther(a, b, bFromA, cx + dx, cy + dy)) return false;
    }
  }
  return true;
}

function overlapCorrelation(
  a: WaxPicture,
  b: WaxPicture,
  place: Rigid,
): { correlation: number; overlapMm2: number } {
  const bFromA = inverseOf(place);
  let both = 0;
  let ea = 0;
  let eb = 0;
  let cells = 0;
  for (let y = 0; y < a.wax.height; y++) {
    for (let x = 0; x < a.wax.width; x++) {
      const i = y * a.wax.width + x;
      if (a.mask.data[i]! < 0.5 || !seenOnOther(a, b, bFromA, x, y)) continue;
      const p = a.wax.data[i]!;
      const q = waxOfOther(a, b, bFromA, x, y);
      both += p * q;
      ea += p * p;
      eb += q * q;
      cells++;
    }
  }
  return {
    correlation: ea > 0 && eb > 0 ? both / Math.sqrt(ea * eb) : 0,
    overlapMm2: cells / a.pxPerMm ** 2,
  };
}
