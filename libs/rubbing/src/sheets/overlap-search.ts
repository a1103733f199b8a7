/**
 * Where one sheet lies on another, from their wax alone: normalised cross-correlation of every shift at once, for a
 * row of turns. Only where both sheets are seen counts. Source: correlation theorem; masks after Padfield, "Masked
 * object registration in the Fourier domain" (2012), from memory, for signals without a mean.
 */
import Fft from 'fft.js';
import { bilinear, makePlane } from '#libs/raster';
import { moved, type Rigid, rigid } from './rigid.js';
import { coarser, type WaxPicture } from './wax-picture.js';

export interface OverlapGuess {
  /** Frame of the second sheet → frame of the first. */
  readonly place: Rigid;
  /** -1 … 1 */
  readonly correlation: number;
}

/** Cells of about 4 mm: a came and its clean margins fill one or two. */
const COARSE = 4;
const GUESSES = 6;
/** Two maxima closer than this are one. */
const APART_MM = 14;

/**
 * Best guesses first, a few centimetres apart.
 * @param turns angles to try, radians
 * @param leastOverlapMm2 smaller overlaps are not looked at: their correlation means nothing
 */
export function overlapGuesses(
  a: WaxPicture,
  b: WaxPicture,
  turns: readonly number[],
  leastOverlapMm2: number,
): OverlapGuess[] {
  const ca = coarser(a, COARSE);
  const cb = coarser(b, COARSE);
  const reach = Math.ceil(Math.hypot(cb.wax.width, cb.wax.height));
  const size = powerOfTwo(Math.max(ca.wax.width, ca.wax.height) + reach);
  const plan = new Spectra(size);
  const fixed = plan.forward(ca);
  const least = leastOverlapMm2 * ca.pxPerMm ** 2;
  const found: OverlapGuess[] = [];
  for (const turn of turns) {
    const turned = turnedPicture(cb, turn, reach);
    const { score, count } = plan.correlate(fixed, plan.forward(turned));
    for (const { value, dx, dy } of peaks(score, count, size, least)) {
      // cell (0, 0) of the turned picture lies dx, dy cells from that of the first
      const x = ca.originMm[0] + dx / ca.pxPerMm;
      const y = ca.originMm[1] + dy / ca.pxPerMm;
      const [ox, oy] = turned.originMm;
      found.push({ place: rigid(turn, x - ox, y - oy), correlation: value });
    }
  }
  found.sort((p, q) => q.correlation - p.correlation);
  const kept: OverlapGuess[] = [];
  const [mx, my] = middleMm(b);
  for (const guess of found) {
    const [x, y] = moved(guess.place, mx, my);
    const isOwn = kept.every((other) => {
      const [ox, oy] = moved(other.place, mx, my);
      const turned = guess.place.c * other.place.c + guess.place.s * other.place.s;
      return Math.hypot(x - ox, y - oy) > APART_MM || turned < 0.9;
    });
    if (isOwn) kept.push(guess);
    if (kept.length === GUESSES) break;
  }
  return kept;
}

export function middleMm(p: WaxPicture): [number, number] {
  return [
    p.originMm[0] + p.wax.width / 2 / p.pxPerMm,
    p.originMm[1] + p.wax.height / 2 / p.pxPerMm,
  ];
}

/** The picture turned about its frame's origin, on cells of the same size, `reach` cells square. */
function turnedPicture(p: WaxPicture, turn: number, reach: number): WaxPicture {
  const wax = makePlane(reach, reach);
  const mask = makePlane(reach, reach);
  const m = rigid(turn, 0, 0);
  const [cx, cy] = moved(m, ...middleMm(p));
  const originMm = [cx - reach / 2 / p.pxPerMm, cy - reach / 2 / p.pxPerMm] as const;
  for (let y = 0; y < reach; y++) {
    for (let x = 0; x < reach; x++) {
      const mmX = originMm[0] + x / p.pxPerMm;
      const mmY = originMm[1] + y / p.pxPerMm;
      const u = (m.c * mmX + m.s * mmY - p.originMm[0]) * p.pxPerMm;
      const v = (-m.s * mmX + m.c * mmY - p.originMm[1]) * p.pxPerMm;
      if (u < 0 || v < 0 || u > p.wax.width - 1 || v > p.wax.height - 1) continue;
      wax.data[y * reach + x] = bilinear(p.wax, u, v);
      mask.data[y * reach + x] = bilinear(p.mask, u, v);
    }
  }
  return { pxPerMm: p.pxPerMm, originMm, wax, mask };
}

function peaks(
  score: Float64Array,
  count: Float64Array,
  size: number,
  least: number,
): { value: number; dx: number; dy: number }[] {
  const out: { value: number; dx: number; dy: number }[] = [];
  const at = (x: number, y: number): number =>
    score[((y + size) % size) * size + ((x + size) % size)]!;
  for (let y = 0; y < size; y++) {
    for (let x = 0; x < size; x++) {
      const i = y * size + x;
      if (count[i]! < least) continue;
      const value = score[i]!;
      if (value < 0.15) continue;
      let isPeak = true;
      for (let v = -1; v <= 1 && isPeak; v++) {
        for (let u = -1; u <= 1; u++) if (at(x + u, y + v) > value) isPeak = false;
      }
      if (!isPeak) continue;
      out.push({ value, dx: x > size / 2 ? x - size : x, dy: y > size / 2 ? y - size : y });
    }
  }
  out.sort((p, q) => q.value - p.value);
  return out.slice(0, GUESSES);
}

function powerOfTwo(least: number): number {
  let n = 16;
  while (n < least) n *= 2;
  return n;
}

/** Spectra of wax, wax² and mask of one picture, interleaved complex, size × size. */
interface Spectrum {
  readonly wax: Float64Array;
  readonly square: Float64Array;
  readonly mask: Float64Array;
}

class Spectra {
  private readonly fft: Fft;
  private readonly line: Float64Array;
  private readonly lineOut: Float64Array;

  constructor(private readonly size: number) {
    this.fft = new Fft(size);
    this.line = new Float64Array(2 * size);
    this.lineOut = new Float64Array(2 * size);
  }

  forward(picture: WaxPicture): Spectrum {
    const of = (value: (i: number) => number): Float64Array => {
      const grid = new Float64Array(2 * this.size * this.size);
      const { width, height } = picture.wax;
      for (let y = 0; y < height; y++) {
        for (let x = 0; x < width; x++) grid[2 * (y * this.size + x)] = value(y * width + x);
      }
      this.everyLine(grid, false);
      return grid;
    };
    const { wax, mask } = picture;
    return {
      wax: of((i) => wax.data[i]!),
      square: of((i) => wax.data[i]! ** 2),
      mask: of((i) => mask.data[i]!),
    };
  }

  /** For the shift (x, y) of `b` on `a`: correlation and number of cells in common. */
  correlate(a: Spectrum, b: Spectrum): { score: Float64Array; count: Float64Array } {
    const both = this.inverse(a.wax, b.wax);
    const energyA = this.inverse(a.square, b.mask);
    const energyB = this.inverse(a.mask, b.square);
    const count = this.inverse(a.mask, b.mask);
    const score = new Float64Array(both.length);
    for (let i = 0; i < score.length; i++) {
      const e = energyA[i]! * energyB[i]!;
      score[i] = e > 1e-12 && count[i]! > 1 ? both[i]! / Math.sqrt(e) : 0;
    }
    return { score, count };
  }

  /** Σ a(p + shift) b(p): the inverse transform of A · conj(B). */
  private inverse(a: Float64Array, b: Float64Array): Float64Array {
    const grid = new Float64Array(a.length);
    for (let i = 0; i < a.length; i += 2) {
      grid[i] = a[i]! * b[i]! + a[i + 1]! * b[i + 1]!;
      grid[i + 1] = a[i + 1]! * b[i]! - a[i]! * b[i + 1]!;
    }
    this.everyLine(grid, true);
    return Float64Array.from({ length: a.length / 2 }, (_, i) => grid[2 * i]!);
  }

  private everyLine(grid: Float64Array, isInverse: boolean): void {
    const { size, line, lineOut } = this;
    for (const [start, step] of [
      [2 * size, 2],
      [2, 2 * size],
    ] as const) {
      for (let k = 0; k < size; k++) {
        for (let i = 0; i < size; i++) {
          line[2 * i] = grid[k * start + i * step]!;
          line[2 * i + 1] = grid[k * start + i * step + 1]!;
        }
        if (isInverse) this.fft.inverseTransform(lineOut, line);
        else this.fft.transform(lineOut, line);
        for (let i = 0; i < size; i++) {
          grid[k * start + i * step] = lineOut[2 * i]!;
          grid[k * start + i * step + 1] = lineOut[2 * i + 1]!;
        }
      }
    }
  }
}
