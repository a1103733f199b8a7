/**
 * A corner drawn as two ticks: short strokes that carry the panel's sides on, outwards from its corner.
 * Each stroke is followed across its expected direction, a line is laid through it, and the two lines meet in the corner.
 */
import { type GreyImage, greyAt } from './grey-image.js';

/** Where along a tick it is looked for; people draw them 8 to 15 mm long. */
const FROM_MM = 0.8;
const TO_MM = 8.4;
const STEP_MM = 0.2;
/** How far beside the expected line: a tap is off by half a millimetre and a side bows. */
const BESIDE_MM = 1.9;
/** A stroke's centre lies this close to its own line. */
const INLIER_MM = 0.22;
const LEAST_SHARE = 0.55;
/** Share by which ink is darker than the paper beside it; wax specks reach a tenth once averaged along the stroke. */
const LEAST_CONTRAST = 0.13;
/** Profiles are means over this much of the stroke. */
const MEAN_MM = 0.5;

interface Line {
  x: number;
  y: number;
  dx: number;
  dy: number;
}

/**
 * @param tap pixels
 * @param before the corners before and after this one round the panel, pixels
 * @returns the corner in pixels, or undefined when there are no two ticks
 */
export function cornerOfTicks(
  grey: GreyImage,
  tap: readonly [number, number],
  before: readonly [number, number],
  after: readonly [number, number],
  pxPerMm: number,
): [number, number] | undefined {
  let at: [number, number] = [tap[0], tap[1]];
  for (let round = 0; round < 2; round++) {
    const lines: Line[] = [];
    for (const from of [before, after]) {
      const d = Math.hypot(at[0] - from[0], at[1] - from[1]);
      const line = strokeLine(grey, at, (at[0] - from[0]) / d, (at[1] - from[1]) / d, pxPerMm);
      if (!line) return undefined;
      lines.push(line);
    }
    const met = meet(lines[0]!, lines[1]!);
    if (!met || Math.hypot(met[0] - tap[0], met[1] - tap[1]) > 2.2 * pxPerMm) return undefined;
    at = met;
  }
  return at;
}

function meet(a: Line, b: Line): [number, number] | undefined {
  const det = a.dx * b.dy - a.dy * b.dx;
  if (Math.abs(det) < 0.3) return undefined;
  const t = ((b.x - a.x) * b.dy - (b.y - a.y) * b.dx) / det;
  return [a.x + t * a.dx, a.y + t * a.dy];
}

/** Line through the ink that runs from (x, y) about in direction (ux, uy). */
function strokeLine(
  grey: GreyImage,
  [x, y]: readonly [number, number],
  ux: number,
  uy: number,
  pxPerMm: number,
): Line | undefined {
  const reach = Math.ceil(2 * BESIDE_MM * pxPerMm); // half pixels
  const count = Math.floor((TO_MM - FROM_MM) / STEP_MM);
  const along: number[] = [];
  const across: number[] = [];
  const profile = new Float64Array(2 * reach + 1);
  for (let k = 0; k < count; k++) {
    const t = (FROM_MM + k * STEP_MM) * pxPerMm;
    profile.fill(0);
    for (const along of [-1, -0.5, 0, 0.5, 1]) {
      const s = t + (along * MEAN_MM * pxPerMm) / 2;
      for (let i = -reach; i <= reach; i++) {
        profile[i + reach]! +=
          greyAt(grey, x + s * ux - (i / 2) * uy, y + s * uy + (i / 2) * ux) / 5;
      }
    }
    const centre = inkCentre(profile, pxPerMm);
    if (centre === undefined) continue;
    along.push(t);
    across.push((centre - reach) / 2);
  }
  if (along.length < LEAST_SHARE * count) return undefined;
  // the line most centres agree on, among lines through pairs of them; then least squares over these
  const tolerance = INLIER_MM * pxPerMm;
  let best: { a: number; b: number; votes: number } | undefined;
  for (let i = 0; i < along.length; i += 2) {
    for (let j = i + Math.floor(count / 3); j < along.length; j += 2) {
      const b = (across[j]! - across[i]!) / (along[j]! - along[i]!);
      if (Math.abs(b) > 0.2) continue;
      const a = across[i]! - b * along[i]!;
      let votes = 0;
      for (let k = 0; k < along.length; k++) {
        if (Math.abs(across[k]! - a - b * along[k]!) < tolerance) votes++;
      }
      if (!best || votes > best.votes) best = { a, b, votes };
    }
  }
  if (!best || best.votes < LEAST_SHARE * count) return undefined;
  const { a, b } = best;
  const on = along
    .map((_, k) => k)
    .filter((k) => Math.abs(across[k]! - a - b * along[k]!) < tolerance);
  const mt = on.reduce((s, k) => s + along[k]!, 0) / on.length;
  const md = on.reduce((s, k) => s + across[k]!, 0) / on.length;
  const tt = on.reduce((s, k) => s + (along[k]! - mt) ** 2, 0);
  const td = on.reduce((s, k) => s + (along[k]! - mt) * (across[k]! - md), 0);
  const slope = td / tt;
  return {
    x: x + mt * ux - md * uy,
    y: y + mt * uy + md * ux,
    dx: (ux - slope * uy) / Math.hypot(1, slope),
    dy: (uy + slope * ux) / Math.hypot(1, slope),
  };
}

/** Index (fractional) of the middle of the darkest narrow stroke in a profile taken in half pixels. */
function inkCentre(profile: Float64Array, pxPerMm: number): number | undefined {
  const n = profile.length;
  const half = Math.max(2, Math.round(0.45 * pxPerMm * 2) / 2) | 0;
  let darkest = -1;
  for (let i = half; i < n - half; i++) {
    if (darkest < 0 || profile[i]! < profile[darkest]!) darkest = i;
  }
  // a stroke is narrow: both sides are light again within a millimetre and a half
  const side = Math.round(1.3 * pxPerMm);
  let left = 0;
  let right = 0;
  for (let i = Math.max(0, darkest - 2 * side); i < darkest; i++)
    left = Math.max(left, profile[i]!);
  for (let i = darkest + 1; i <= Math.min(n - 1, darkest + 2 * side); i++) {
    right = Math.max(right, profile[i]!);
  }
  const paper = Math.min(left, right);
  if (paper - profile[darkest]! < LEAST_CONTRAST * paper) return undefined;
  const level = profile[darkest]! + 0.6 * (paper - profile[darkest]!);
  let weight = 0;
  let moment = 0;
  for (const step of [-1, 1]) {
    for (
      let i = step === 1 ? darkest : darkest - 1;
      i >= 0 && i < n && profile[i]! < level;
      i += step
    ) {
      weight += level - profile[i]!;
      moment += (level - profile[i]!) * i;
    }
  }
  return weight > 0 ? moment / weight : undefined;
}
