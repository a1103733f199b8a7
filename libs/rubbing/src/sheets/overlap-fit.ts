/** A guess of how two sheets overlap, made exact by matching patches of the wax, and how well they agree there. */
import { bilinear } from '#libs/raster';
import { fitRigid, inverseOf, moved, type Rigid } from './rigid.js';
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
    place = robustRigid(matches);
  }
  const off = matches
    .map(({ from, to }) => {
      const [x, y] = moved(place, from[0], from[1]);
      return Math.hypot(x - to[0], y - to[1]);
    })
    .sort((p, q) => p - q);
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
  readonly correlation: number;
}

/** Three rounds of reweighting: patches off by more than 1 mm lose their say (Cauchy weights). */
function robustRigid(matches: readonly Match[]): Rigid {
  const from = matches.flatMap((m) => m.from);
  const to = matches.flatMap((m) => m.to);
  const weight = Float64Array.from(matches, (m) => m.correlation);
  let place = fitRigid(from, to, weight);
  for (let round = 0; round < 3; round++) {
    matches.forEach((m, k) => {
      const [x, y] = moved(place, m.from[0], m.from[1]);
      weight[k] = m.correlation / (1 + Math.hypot(x - m.to[0], y - m.to[1]) ** 2);
    });
    place = fitRigid(from, to, weight);
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
        correlation: best.value,
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
): { dx: number; dy: number; value: number } | undefined {
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
  const vertex = (below: number, at: number, above: number): number => {
    const bend = below - 2 * at + above;
    return bend < 0 ? (below - above) / (2 * bend) : 0;
  };
  return {
    dx: tx - reach + vertex(score[top - 1]!, value, score[top + 1]!),
    dy: ty - reach + vertex(score[top - n]!, value, score[top + n]!),
    value,
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
