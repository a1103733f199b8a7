/**
 * Marks, measurements and lens in one adjustment: the places of the marks, the map from sheet to picture and k1 are
 * unknown together, and each observation counts by its own standard deviation.
 *
 * Distances alone fix a sheet up to a turn and a shift; the eight numbers of the map less these three make five, so
 * m distances leave m - 5 to check by, however many marks there are.
 */
import { H, imageFromMm, lengthSigmaMm } from './bundle-map.js';
import type { Homography } from './homography.js';
import { type Adjustment, adjust } from './least-squares.js';
import { type Lens, lensOf, undistort } from './lens.js';
import type { MarkPlan } from './mark-plan.js';

export interface LensPrior {
  readonly k1: number;
  readonly sigma: number;
}

/** What kind of picture: a flat scan keeps angles, a square-on one nearly. */
export interface PictureKind {
  readonly kind: 'photograph' | 'square-on' | 'scan';
  /** Resolution the scanner claims. */
  readonly pxPerMm?: number;
}

export interface MarkBundle {
  /** Panel millimetres → pixels without lens distortion. */
  readonly imageFromPanel: Homography;
  readonly lens: Lens;
  readonly xyMm: Float64Array;
  /** The marks without lens distortion, and the standard deviation of their coordinates. */
  readonly flatPx: Float64Array;
  readonly sigmaPx: ArrayLike<number>;
  readonly sigmaK1: number;
  readonly adjustment: Adjustment;
  /** Rows of the adjustment that hold each mark's own observations, and each distance. */
  readonly markRows: readonly (readonly number[])[];
  readonly distanceRows: readonly number[];
  /** Standard deviation of the distance between two fixed pixels, millimetres. */
  lengthSigmaMm(a: readonly [number, number], b: readonly [number, number]): number;
}

/** A scanner's feed and its sensor differ by about this, one standard deviation; common practice, no source. */
const SCAN_STRETCH = 0.001;
const SCAN_SHEAR = 0.0007;
const SCAN_RESOLUTION = 0.003;
/** A hand holds a phone square-on within 3°: 1 - cos 3°, and the change of scale right across. */
const SQUARE_STRETCH = 0.0014;
const SQUARE_PERSPECTIVE = 0.015;
/** Fixes the three numbers that a free frame leaves open. */
const GAUGE_SIGMA = 1e-6;

/**
 * @param px marks as found, flat, lens distortion included
 * @param sigmaPx one standard deviation of each mark's coordinates
 * @param priors what is known of k1 from elsewhere; at least one
 */
export function bundleMarks(
  plan: MarkPlan,
  image: { readonly widthPx: number; readonly heightPx: number },
  px: Float64Array,
  sigmaPx: ArrayLike<number>,
  picture: PictureKind,
  priors: readonly LensPrior[],
  k2: number,
): MarkBundle {
  const n = plan.names.length;
  const lens0 = lensOf(image, priors[0]!.k1, k2);
  const { centreX, centreY, r0 } = lens0;
  const start = startOf(plan, lens0, px);
  const sizeMm = start.sizeMm;
  const free = !plan.placesMm;
  const turn = free ? frameAngle(px) : 0;
  const scanRows = picture.kind === 'photograph' ? 0 : picture.pxPerMm === undefined ? 4 : 5;
  const distanceAt = 2 * n + (free ? 3 : 2 * n);
  const shapeAt = distanceAt + plan.distances.length;
  // a scan shows the shape itself
  const shapeMm = picture.kind === 'scan' ? undefined : plan.parallelogramMm;
  const scanAt = shapeAt + (shapeMm === undefined ? 0 : 2);
  const lensAt = scanAt + scanRows;
  const rows = lensAt + priors.length;

  const observe = (p: Float64Array, out: Float64Array): void => {
    const k1 = p[H]!;
    for (let k = 0; k < n; k++) {
      const x = p[H + 1 + 2 * k]!;
      const y = p[H + 2 + 2 * k]!;
      const w = p[6]! * x + p[7]! * y + 1;
      const u = (p[0]! * x + p[1]! * y + p[2]!) / w;
      const v = (p[3]! * x + p[4]! * y + p[5]!) / w;
      const q = u * u + v * v;
      const f = 1 + q * (k1 + k2 * q);
      out[2 * k] = (u * f * r0 + centreX - px[2 * k]!) / sigmaPx[k]!;
      out[2 * k + 1] = (v * f * r0 + centreY - px[2 * k + 1]!) / sigmaPx[k]!;
    }
    if (plan.placesMm) {
      for (let i = 0; i < 2 * n; i++) {
        out[2 * n + i] = (p[H + 1 + i]! * sizeMm - plan.placesMm[i]!) / plan.sigmaMm;
      }
    } else {
      out[2 * n] = p[H + 1]! / GAUGE_SIGMA;
      out[2 * n + 1] = p[H + 2]! / GAUGE_SIGMA;
      out[2 * n + 2] = (p[H + 4]! * Math.cos(turn) - p[H + 3]! * Math.sin(turn)) / GAUGE_SIGMA;
    }
    plan.distances.forEach((d, i) => {
      const dx = p[H + 1 + 2 * d.from]! - p[H + 1 + 2 * d.to]!;
      const dy = p[H + 2 + 2 * d.from]! - p[H + 2 + 2 * d.to]!;
      out[distanceAt + i] = (Math.hypot(dx, dy) * sizeMm - d.mm) / plan.sigmaMm;
    });
    if (shapeMm !== undefined) {
      for (const c of [0, 1]) {
        const gap = p[H + 1 + c]! - p[H + 3 + c]! + p[H + 5 + c]! - p[H + 7 + c]!;
        out[shapeAt + c] = (gap * sizeMm) / shapeMm;
      }
    }
    if (scanRows > 0) {
      const isScan = picture.kind === 'scan';
      const scale = Math.sqrt(Math.abs(p[0]! * p[4]! - p[1]! * p[3]!));
      const stretch = isScan ? SCAN_STRETCH : SQUARE_STRETCH;
      out[scanAt] = (p[0]! - p[4]!) / scale / stretch;
      out[scanAt + 1] = (p[1]! + p[3]!) / scale / (isScan ? SCAN_SHEAR : SQUARE_STRETCH);
      const tilt = isScan ? 1e-5 : SQUARE_PERSPECTIVE;
      out[scanAt + 2] = p[6]! / tilt;
      out[scanAt + 3] = p[7]! / tilt;
      if (picture.pxPerMm !== undefined) {
        out[scanAt + 4] = Math.log((scale * r0) / sizeMm / picture.pxPerMm) / SCAN_RESOLUTION;
      }
    }
    priors.forEach((prior, i) => {
      out[lensAt + i] = (k1 - prior.k1) / prior.sigma;
    });
  };

  const steps = new Float64Array(start.params.length).fill(1e-5);
  const adjustment = adjust(observe, start.params, rows, steps);
  const p = adjustment.params;
  const all = Array.from({ length: rows }, (_, r) => r);
  const lens = lensOf(image, p[H]!, k2);
  const flatPx = new Float64Array(2 * n);
  for (let k = 0; k < n; k++) flatPx.set(undistort(lens, px[2 * k]!, px[2 * k + 1]!), 2 * k);
  return {
    imageFromPanel: imageFromMm(p, sizeMm, lens),
    lens,
    flatPx,
    sigmaPx,
    xyMm: Float64Array.from(p.subarray(H + 1), (v) => v * sizeMm),
    sigmaK1: Math.sqrt(adjustment.covariance[H * p.length + H]!),
    adjustment,
    markRows: plan.names.map((_, k) => all.slice(2 * k, 2 * k + 2)),
    distanceRows: all.slice(distanceAt, shapeAt),
    lengthSigmaMm: lengthSigmaMm(adjustment, steps, sizeMm, (q) => lensOf(image, q[H]!, k2)),
  };
}

/**
 * Direction of the first mark to the second in a free frame: a quarter turn where the picture shows them level or
 * upright within 25°, else as the picture shows them.
 */
function frameAngle(px: ArrayLike<number>): number {
  const seen = Math.atan2(px[3]! - px[1]!, px[2]! - px[0]!);
  const quarter = (Math.PI / 2) * Math.round(seen / (Math.PI / 2));
  return Math.abs(seen - quarter) < (25 * Math.PI) / 180 ? quarter : seen;
}

/** A similarity that fits the measurements roughly. */
function startOf(
  plan: MarkPlan,
  lens: Lens,
  px: Float64Array,
): { params: Float64Array; sizeMm: number } {
  const n = plan.names.length;
  const flat = new Float64Array(2 * n);
  for (let k = 0; k < n; k++) {
    [flat[2 * k], flat[2 * k + 1]] = undistort(lens, px[2 * k]!, px[2 * k + 1]!);
  }
  const params = new Float64Array(H + 1 + 2 * n);
  params[H] = lens.k1;
  let sizeMm: number;
  let re = 0;
  let im = 0;
  let ox: number;
  let oy: number;
  const origin: [number, number] = [0, 0];
  if (plan.placesMm) {
    // complex least squares: px = s e^it mm + t
    const mm = plan.placesMm;
    const mean = (v: ArrayLike<number>, c: number): number => {
      let s = 0;
      for (let k = 0; k < n; k++) s += v[2 * k + c]! / n;
      return s;
    };
    origin[0] = mean(mm, 0);
    origin[1] = mean(mm, 1);
    ox = mean(flat, 0);
    oy = mean(flat, 1);
    let square = 0;
    for (let k = 0; k < n; k++) {
      const x = mm[2 * k]! - origin[0];
      const y = mm[2 * k + 1]! - origin[1];
      const u = flat[2 * k]! - ox;
      const v = flat[2 * k + 1]! - oy;
      re += u * x + v * y;
      im += v * x - u * y;
      square += x * x + y * y;
    }
    re /= square;
    im /= square;
    sizeMm = 2 * Math.sqrt(square / n);
  } else {
    let pxSum = 0;
    let mmSum = 0;
    for (const d of plan.distances) {
      pxSum += Math.hypot(
        flat[2 * d.from]! - flat[2 * d.to]!,
        flat[2 * d.from + 1]! - flat[2 * d.to + 1]!,
      );
      mmSum += d.mm;
    }
    const scale = pxSum / mmSum;
    const seen = Math.atan2(flat[3]! - flat[1]!, flat[2]! - flat[0]!);
    const turn = seen - frameAngle(px);
    re = scale * Math.cos(turn);
    im = scale * Math.sin(turn);
    [ox, oy] = [flat[0]!, flat[1]!];
    sizeMm = Math.max(...plan.distances.map((d) => d.mm));
  }
  const s2 = re * re + im * im;
  for (let k = 0; k < n; k++) {
    const u = flat[2 * k]! - ox;
    const v = flat[2 * k + 1]! - oy;
    params[H + 1 + 2 * k] = ((re * u + im * v) / s2 + origin[0]) / sizeMm;
    params[H + 2 + 2 * k] = ((re * v - im * u) / s2 + origin[1]) / sizeMm;
  }
  const tx = ox - (re * origin[0] - im * origin[1]);
  const ty = oy - (im * origin[0] + re * origin[1]);
  const { r0, centreX, centreY } = lens;
  params.set([
    (re * sizeMm) / r0,
    (-im * sizeMm) / r0,
    (tx - centreX) / r0,
    (im * sizeMm) / r0,
    (re * sizeMm) / r0,
    (ty - centreY) / r0,
    0,
    0,
  ]);
  return { params, sizeMm };
}
