/** Ends of a drawn ruler: the cross stroke at each end is found again near its tap. */
import { type GreyImage, greyAt } from './grey-image.js';

/** A tap is closer than this to its stroke; strokes of a ruler stand farther apart. */
const REACH_MM = 0.8;
/** The stroke is looked for beside the ruler's own line, on both sides, this far out. */
const BESIDE_MM = [0.7, 2] as const;
/** Grey levels by which a stroke must be darker than the paper round it. */
const LEAST_CONTRAST = 25;

/** @param taps flat x0,y0,x1,y1 in pixels. @returns the same with each end moved onto its stroke, where there is one */
export function barEnds(grey: GreyImage, taps: Float64Array, pxPerMm: number): Float64Array {
  const dx = taps[2]! - taps[0]!;
  const dy = taps[3]! - taps[1]!;
  const length = Math.hypot(dx, dy);
  const [ux, uy] = [dx / length, dy / length];
  const out = taps.slice();
  for (const k of [0, 2]) {
    const along = strokeOffset(grey, taps[k]!, taps[k + 1]!, ux, uy, pxPerMm);
    if (along === undefined) continue;
    out[k] = taps[k]! + along * ux;
    out[k + 1] = taps[k + 1]! + along * uy;
  }
  return out;
}

function strokeOffset(
  grey: GreyImage,
  x: number,
  y: number,
  ux: number,
  uy: number,
  pxPerMm: number,
): number | undefined {
  const reach = Math.ceil(REACH_MM * pxPerMm);
  const steps = 2 * (2 * reach) + 1; // half pixels
  const profile = new Float64Array(steps);
  for (let i = 0; i < steps; i++) {
    const t = (i - 2 * reach) / 2;
    let sum = 0;
    let n = 0;
    for (const side of [-1, 1]) {
      for (let s = BESIDE_MM[0] * pxPerMm; s <= BESIDE_MM[1] * pxPerMm; s += 0.5) {
        sum += greyAt(grey, x + t * ux - side * s * uy, y + t * uy + side * s * ux);
        n++;
      }
    }
    profile[i] = sum / n;
  }
  const paper = profile.slice().sort()[Math.floor(0.7 * steps)]!;
  const darkest = profile.indexOf(Math.min(...profile));
  if (paper - profile[darkest]! < LEAST_CONTRAST) return undefined;
  // Centroid of the stroke's dark half.
  const half = (paper + profile[darkest]!) / 2;
  let weight = 0;
  let moment = 0;
  for (const step of [-1, 1]) {
    for (
      let i = darkest + (step === 1 ? 0 : -1);
      i >= 0 && i < steps && profile[i]! < half;
      i += step
    ) {
      weight += half - profile[i]!;
      moment += (half - profile[i]!) * ((i - 2 * reach) / 2);
    }
  }
  return weight > 0 ? moment / weight : undefined;
}
