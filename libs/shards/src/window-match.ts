import type { Turn } from './pose.js';
import type { ShardFace } from './shard-face.js';

/**
 * Where two edges could have been one: every window of A against every window of B walked backwards, as sums of
 * products of complex numbers, and of each window length the best few.
 */

/** Points in a window, a millimetre apart. */
export const WINDOW_POINTS = [8, 14, 22, 34] as const;
const LONGEST = 34;
/** Noise that both edges carry, squared (mm²). */
const NOISE_MM2 = 0.01;
const KEPT_PER_LENGTH = 10;
/** A window pair must be so much more alike than two unrelated lines. */
const LEAST_RATIO = 1.6;

/** An edge walked at 1 mm, from one of two starts half a millimetre apart. */
export interface Walk {
  readonly starts: number;
  /** Complex points; `starts + LONGEST` of them, running on past the start. */
  readonly re: Float64Array;
  readonly im: Float64Array;
  /** For each window length: sum of squares about the mean, and the same about the best line (per point). */
  readonly spread: readonly Float64Array[];
  readonly crooked: readonly Float64Array[];
  readonly sumRe: Float64Array;
  readonly sumIm: Float64Array;
}

/** @param shiftMm where on the ring the walk begins  @param isBackward walk the other way round */
export function makeWalk({ walk }: ShardFace, shiftMm: number, isBackward: boolean): Walk {
  const n = walk.length / 2;
  const perMm = 10;
  const starts = Math.max(LONGEST, Math.floor(n / perMm));
  const size = starts + LONGEST;
  const re = new Float64Array(size);
  const im = new Float64Array(size);
  const from = Math.round(shiftMm * perMm);
  for (let k = 0; k < size; k++) {
    const step = from + k * perMm;
    const i = isBackward ? ((-step % n) + n) % n : step % n;
    re[k] = walk[2 * i]!;
    im[k] = walk[2 * i + 1]!;
  }
  const sumRe = prefix(re);
  const sumIm = prefix(im);
  const xx = prefix(re.map((v) => v * v));
  const yy = prefix(im.map((v) => v * v));
  const xy = prefix(re.map((v, k) => v * im[k]!));
  const spread: Float64Array[] = [];
  const crooked: Float64Array[] = [];
  for (const points of WINDOW_POINTS) {
    const s = new Float64Array(starts);
    const c = new Float64Array(starts);
    for (let i = 0; i < starts; i++) {
      const mx = sumRe[i + points]! - sumRe[i]!;
      const my = sumIm[i + points]! - sumIm[i]!;
      const cxx = xx[i + points]! - xx[i]! - (mx * mx) / points;
      const cyy = yy[i + points]! - yy[i]! - (my * my) / points;
      const cxy = xy[i + points]! - xy[i]! - (mx * my) / points;
      s[i] = cxx + cyy;
      c[i] = Math.max(0, (cxx + cyy - Math.hypot(cxx - cyy, 2 * cxy)) / 2) / points;
    }
    spread.push(s);
    crooked.push(c);
  }
  return { starts, re, im, spread, crooked, sumRe, sumIm };
}

function prefix(values: Float64Array): Float64Array {
  const out = new Float64Array(values.length + 1);
  for (let i = 0; i < values.length; i++) out[i + 1] = out[i]! + values[i]!;
  return out;
}

/** Room that is used again for every pair. */
export class WindowMatcher {
  #maps: Float32Array[] = [];
  #productRe = new Float64Array(0);
  #productIm = new Float64Array(0);

  /** Turns that take B's frame into A's, best windows first within each length. `b` are B's backward walks. */
  match(a: Walk, b: readonly Walk[]): Turn[] {
    const turns: Turn[] = [];
    for (const walk of b) turns.push(...this.#matchOne(a, walk));
    return turns;
  }

  #matchOne(a: Walk, b: Walk): Turn[] {
    const cells = a.starts * b.starts;
    if ((this.#maps[0]?.length ?? 0) < cells) {
      this.#maps = WINDOW_POINTS.map(() => new Float32Array(cells));
      const size = 2 * (a.starts + b.starts + LONGEST) + 2;
      this.#productRe = new Float64Array(size);
      this.#productIm = new Float64Array(size);
    }
    for (let d = -(b.starts - 1); d < a.starts; d++) this.#diagonal(a, b, d);
    return WINDOW_POINTS.flatMap((points, w) => this.#best(a, b, points, w));
  }

  /** All windows with A's start minus B's start equal to d. */
  #diagonal(a: Walk, b: Walk, d: number): void {
    const i0 = Math.max(0, d);
    const j0 = i0 - d;
    const count = Math.min(a.starts - i0, b.starts - j0);
    const length = count + LONGEST;
    const sumRe = this.#productRe;
    const sumIm = this.#productIm;
    const { re: are, im: aim } = a;
    const { re: bre, im: bim } = b;
    let re = 0;
    let im = 0;
    sumRe[0] = 0;
    sumIm[0] = 0;
    for (let k = 0; k < length; k++) {
      const ar = are[i0 + k]!;
      const ai = aim[i0 + k]!;
      const br = bre[j0 + k]!;
      const bi = bim[j0 + k]!;
      re += ar * br + ai * bi;
      im += ai * br - ar * bi;
      sumRe[k + 1] = re;
      sumIm[k + 1] = im;
    }
    for (let w = 0; w < WINDOW_POINTS.length; w++) {
      const points = WINDOW_POINTS[w]!;
      const inverse = 1 / points;
      const map = this.#maps[w]!;
      const aSpread = a.spread[w]!;
      const bSpread = b.spread[w]!;
      const aCrooked = a.crooked[w]!;
      const bCrooked = b.crooked[w]!;
      for (let k = 0; k < count; k++) {
        const i = i0 + k;
        const j = j0 + k;
        const ar = a.sumRe[i + points]! - a.sumRe[i]!;
        const ai = a.sumIm[i + points]! - a.sumIm[i]!;
        const br = b.sumRe[j + points]! - b.sumRe[j]!;
        const bi = b.sumIm[j + points]! - b.sumIm[j]!;
        const pr = sumRe[k + points]! - sumRe[k]! - (ar * br + ai * bi) * inverse;
        const pi = sumIm[k + points]! - sumIm[k]! - (ai * br - ar * bi) * inverse;
        const e2 = (aSpread[i]! + bSpread[j]! - 2 * Math.sqrt(pr * pr + pi * pi)) * inverse;
        map[i * b.starts + j] =
          (aCrooked[i]! + bCrooked[j]! + NOISE_MM2) / ((e2 > 0 ? e2 : 0) + NOISE_MM2);
      }
    }
  }

  #best(a: Walk, b: Walk, points: number, w: number): Turn[] {
    const map = this.#maps[w]!;
    const width = b.starts;
    const ratios: number[] = [];
    const cells: number[] = [];
    let least = LEAST_RATIO;
    for (let i = 0; i < a.starts; i++) {
      const up = (i === 0 ? a.starts - 1 : i - 1) * width;
      const down = (i === a.starts - 1 ? 0 : i + 1) * width;
      const row = i * width;
      for (let j = 0; j < width; j++) {
        const v = map[row + j]!;
        if (v <= least) continue;
        const l = j === 0 ? width - 1 : j - 1;
        const r = j === width - 1 ? 0 : j + 1;
        if (
          v < map[row + l]! ||
          v < map[row + r]! ||
          v < map[up + j]! ||
          v < map[down + j]! ||
          v < map[up + l]! ||
          v < map[up + r]! ||
          v < map[down + l]! ||
          v < map[down + r]!
        )
          continue;
        let at = ratios.length;
        while (at > 0 && ratios[at - 1]! < v) at--;
        ratios.splice(at, 0, v);
        cells.splice(at, 0, row + j);
        if (ratios.length > KEPT_PER_LENGTH) {
          ratios.pop();
          cells.pop();
          least = ratios[KEPT_PER_LENGTH - 1]!;
        }
      }
    }
    return cells.map((cell) => windowTurn(a, Math.floor(cell / width), b, cell % width, points));
  }
}

/** Best turn of B's window onto A's. */
function windowTurn(a: Walk, i: number, b: Walk, j: number, points: number): Turn {
  let ax = 0;
  let ay = 0;
  let bx = 0;
  let by = 0;
  let re = 0;
  let im = 0;
  for (let k = 0; k < points; k++) {
    const [ar, ai, br, bi] = [a.re[i + k]!, a.im[i + k]!, b.re[j + k]!, b.im[j + k]!];
    ax += ar;
    ay += ai;
    bx += br;
    by += bi;
    re += ar * br + ai * bi;
    im += ai * br - ar * bi;
  }
  re -= (ax * bx + ay * by) / points;
  im -= (ay * bx - ax * by) / points;
  const size = Math.hypot(re, im) || 1;
  const cos = re / size;
  const sin = im / size;
  return {
    cos,
    sin,
    x: (ax - (cos * bx - sin * by)) / points,
    y: (ay - (sin * bx + cos * by)) / points,
  };
}
