/**
 * Rigid bodies of tags, loose in one plane, seen by one camera: the map from plane to picture, the lens and where each
 * body lies are found together. Each body is measured in itself, so no tape is needed.
 */
import { H, imageFromMm, lengthSigmaMm } from './bundle-map.js';
import { fitHomography, type Homography } from './homography.js';
import { type Adjustment, adjust } from './least-squares.js';
import { type Lens, lensOf, undistort } from './lens.js';

export interface TagBody {
  readonly name: string;
  /** Points in the body's own frame, millimetres, flat. */
  readonly xyMm: Float64Array;
  /** The same in the picture, flat pixels. */
  readonly px: Float64Array;
}

export interface TargetBundle {
  /** Millimetres in the frame of the first body → pixels without lens distortion. */
  readonly imageFromPlane: Homography;
  readonly lens: Lens;
  readonly sigmaK1: number;
  /** Where each body lies: turn, and its origin in millimetres. */
  readonly poses: readonly { readonly turn: number; readonly xMm: number; readonly yMm: number }[];
  /** Distance of each point from where the fit puts it, pixels, body by body. */
  readonly residualsPx: readonly Float64Array[];
  readonly rmsPx: number;
  readonly adjustment: Adjustment;
  /** Standard deviation of the distance between two pixels, millimetres. */
  lengthSigmaMm(a: readonly [number, number], b: readonly [number, number]): number;
}

/** A printed corner is found to about this; it also covers paper that does not lie quite flat. */
const CORNER_SIGMA_PX = 0.15;

export interface LensChoice {
  /** k1 is free within this of `k1`, k2 likewise of `k2`. */
  readonly k1: number;
  readonly sigmaK1: number;
  readonly k2: number;
  readonly sigmaK2: number;
}

const FIRST_POSE = H + 2;

/** @param bodies each with two points apart at least; the first fixes the frame */
export function bundleTargets(
  bodies: readonly TagBody[],
  image: { readonly widthPx: number; readonly heightPx: number },
  lensChoice: LensChoice,
): TargetBundle {
  const lens0 = lensOf(image, lensChoice.k1, lensChoice.k2);
  const { r0, centreX, centreY } = lens0;
  const first = bodies[0]!;
  const sizeMm = Math.max(...first.xyMm.map(Math.abs), 1);
  const start = startOf(bodies, lens0, sizeMm);
  const points = bodies.reduce((s, b) => s + b.xyMm.length / 2, 0);
  const rows = 2 * points + 2;
  const observe = (p: Float64Array, out: Float64Array): void => {
    let row = 0;
    bodies.forEach((body, b) => {
      const at = FIRST_POSE + 3 * (b - 1);
      const [turn, dx, dy] = b === 0 ? [0, 0, 0] : [p[at]!, p[at + 1]!, p[at + 2]!];
      const cos = Math.cos(turn);
      const sin = Math.sin(turn);
      for (let k = 0; k < body.xyMm.length; k += 2) {
        const bx = body.xyMm[k]! / sizeMm;
        const by = body.xyMm[k + 1]! / sizeMm;
        const x = cos * bx - sin * by + dx;
        const y = sin * bx + cos * by + dy;
        const w = p[6]! * x + p[7]! * y + 1;
        const u = (p[0]! * x + p[1]! * y + p[2]!) / w;
        const v = (p[3]! * x + p[4]! * y + p[5]!) / w;
        const q = u * u + v * v;
        const f = 1 + q * (p[H]! + p[H + 1]! * q);
        out[row++] = (u * f * r0 + centreX - body.px[k]!) / CORNER_SIGMA_PX;
        out[row++] = (v * f * r0 + centreY - body.px[k + 1]!) / CORNER_SIGMA_PX;
      }
    });
    out[row++] = (p[H]! - lensChoice.k1) / lensChoice.sigmaK1;
    out[row] = (p[H + 1]! - lensChoice.k2) / lensChoice.sigmaK2;
  };
  const steps = new Float64Array(start.length).fill(1e-5);
  const adjustment = adjust(observe, start, rows, steps);
  const p = adjustment.params;
  const bent = (q: Float64Array): Lens => lensOf(image, q[H]!, q[H + 1]);
  const lens = bent(p);
  let row = 0;
  const residualsPx = bodies.map((body) => {
    const out = new Float64Array(body.xyMm.length / 2);
    for (let k = 0; k < out.length; k++) {
      out[k] =
        CORNER_SIGMA_PX * Math.hypot(adjustment.residuals[row]!, adjustment.residuals[row + 1]!);
      row += 2;
    }
    return out;
  });
  const square = residualsPx.reduce((s, r) => s + r.reduce((t, v) => t + v * v, 0), 0);
  return {
    imageFromPlane: imageFromMm(p, sizeMm, lens),
    lens,
    sigmaK1: Math.sqrt(adjustment.covariance[H * p.length + H]!),
    poses: bodies.map((_, b) => {
      const at = FIRST_POSE + 3 * (b - 1);
      return b === 0
        ? { turn: 0, xMm: 0, yMm: 0 }
        : { turn: p[at]!, xMm: p[at + 1]! * sizeMm, yMm: p[at + 2]! * sizeMm };
    }),
    residualsPx,
    rmsPx: Math.sqrt(square / points),
    adjustment,
    lengthSigmaMm: lengthSigmaMm(adjustment, steps, sizeMm, bent),
  };
}

/** The first body's own map, and every other body laid by it. */
function startOf(bodies: readonly TagBody[], lens: Lens, sizeMm: number): Float64Array {
  const { r0, centreX, centreY } = lens;
  const normal = (px: Float64Array): Float64Array => {
    const out = new Float64Array(px.length);
    for (let k = 0; k < px.length; k += 2) {
      const [u, v] = undistort(lens, px[k]!, px[k + 1]!);
      out[k] = (u - centreX) / r0;
      out[k + 1] = (v - centreY) / r0;
    }
    return out;
  };
  const scaled = (mm: Float64Array): Float64Array => mm.map((v) => v / sizeMm);
  const params = new Float64Array(FIRST_POSE + 3 * (bodies.length - 1));
  // a long thin strip says little of the far side: its map is taken as a similarity, the adjustment finds the rest
  const seed = similarity(scaled(bodies[0]!.xyMm), normal(bodies[0]!.px));
  params.set([seed.re, -seed.im, seed.x, seed.im, seed.re, seed.y, 0, 0]);
  params[H] = lens.k1;
  params[H + 1] = lens.k2;
  if (bodies.length === 1) {
    const h = fitHomography(scaled(bodies[0]!.xyMm), normal(bodies[0]!.px));
    params.set(h.slice(0, 8));
  }
  bodies.slice(1).forEach((body, b) => {
    const own = similarity(scaled(body.xyMm), normal(body.px));
    // plane = seed⁻¹ (own)
    const s2 = seed.re ** 2 + seed.im ** 2;
    const turn = Math.atan2(own.im, own.re) - Math.atan2(seed.im, seed.re);
    const dx = own.x - seed.x;
    const dy = own.y - seed.y;
    params.set(
      [turn, (seed.re * dx + seed.im * dy) / s2, (seed.re * dy - seed.im * dx) / s2],
      FIRST_POSE + 3 * b,
    );
  });
  return params;
}

/** to = (re + i im) from + (x + i y), least squares. */
function similarity(
  from: Float64Array,
  to: Float64Array,
): { re: number; im: number; x: number; y: number } {
  const n = from.length / 2;
  let fx = 0;
  let fy = 0;
  let tx = 0;
  let ty = 0;
  for (let k = 0; k < from.length; k += 2) {
    fx += from[k]! / n;
    fy += from[k + 1]! / n;
    tx += to[k]! / n;
    ty += to[k + 1]! / n;
  }
  let re = 0;
  let im = 0;
  let square = 0;
  for (let k = 0; k < from.length; k += 2) {
    const x = from[k]! - fx;
    const y = from[k + 1]! - fy;
    const u = to[k]! - tx;
    const v = to[k + 1]! - ty;
    re += u * x + v * y;
    im += v * x - u * y;
    square += x * x + y * y;
  }
  re /= square;
  im /= square;
  return { re, im, x: tx - (re * fx - im * fy), y: ty - (im * fx + re * fy) };
}
