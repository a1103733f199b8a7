import { FIELD_CELLS_PER_MM } from './distance-field.js';
import { FACING } from './fit-sums.js';
import type { Turn } from './pose.js';
import { SAMPLE_MM, type ShardFace } from './shard-face.js';
import type { ToneModel } from './tone-model.js';

/** Noise of two edges that belong together, over short and over long windows. */
const SHORT_NOISE_MM = 0.09;
const LONG_NOISE_MM = 0.12;
/** Unrelated edges differ by this much of their own crookedness. */
const CROOKED_FACTOR = 1.3;
const FACING_WITHIN_MM = 1.2;
const WEDGE_WITHIN_MM = 2.9;
/** One independent reading per so much of the edge. */
const SHORT_PER_MM = 1.3;
const LONG_PER_MM = 6;
const TONE_PER_MM = 4;
const LEAST_NATS = -1.2;
const MOST_NATS = 2.2;
const BOTH_GROUND_MOST = -0.2;
const ONE_GROUND_MOST = -0.3;
const OVERLAP_NATS_PER_MM2 = 3;
const WEDGE_NATS = 0.15;
const TONE_FLOOR_PER_MM = 0.08;
const TONE_FLOOR = 1.5;

/** What one face's edge says about lying along another's: sums over its samples. */
export interface Evidence {
  /** ln of how much likelier the joint is than chance: edges, tone, overlap and wedges together. */
  nats: number;
  lengthMm: number;
  overlapMm2: number;
  /** Sum over contact samples of the squared distance from the wanted gap, and their number. */
  squares: number;
  samples: number;
}

export const noEvidence = (): Evidence => ({
  nats: 0,
  lengthMm: 0,
  overlapMm2: 0,
  squares: 0,
  samples: 0,
});

/** Adds half of what the samples of `point` say against `solid` (both ways make the whole). */
export function addEvidence(
  into: Evidence,
  solid: ShardFace,
  point: ShardFace,
  rel: Turn,
  gapMm: number,
  tones: ToneModel,
): void {
  const { x0, y0, width, height, distance, nearest } = solid.field;
  const { ring, normals } = point;
  const { cos, sin } = rel;
  const offsetX = rel.x - x0;
  const offsetY = rel.y - y0;
  let short = 0;
  let long = 0;
  let tone = 0;
  let wedges = 0;
  let overlap = 0;
  let contact = 0;
  for (let i = 0, m = 0; i < ring.length; i += 2, m++) {
    const px = ring[i]!;
    const py = ring[i + 1]!;
    const u = (cos * px - sin * py + offsetX) * FIELD_CELLS_PER_MM;
    const v = (sin * px + cos * py + offsetY) * FIELD_CELLS_PER_MM;
    if (!(u >= 0 && v >= 0 && u < width - 1 && v < height - 1)) continue;
    const ui = u | 0;
    const vi = v | 0;
    const k = vi * width + ui;
    if (distance[k]! > WEDGE_WITHIN_MM + 0.1) continue;
    const fu = u - ui;
    const fv = v - vi;
    const top = distance[k]! + fu * (distance[k + 1]! - distance[k]!);
    const bottom = distance[k + width]! + fu * (distance[k + width + 1]! - distance[k + width]!);
    const d = top + fv * (bottom - top);
    if (d < 0) overlap -= d;
    const near = nearest[k]!;
    if (near < 0) continue;
    const nx = cos * normals[i]! - sin * normals[i + 1]!;
    const ny = sin * normals[i]! + cos * normals[i + 1]!;
    if (nx * solid.normals[2 * near]! + ny * solid.normals[2 * near + 1]! > FACING) continue;
    const e = d - gapMm;
    if (e > FACING_WITHIN_MM) {
      if (d < WEDGE_WITHIN_MM) wedges++;
      continue;
    }
    if (e < -FACING_WITHIN_MM) continue;
    contact++;
    into.squares += e * e;
    const grounds = point.isGround[m]! + solid.isGround[near]!;
    const most = grounds === 0 ? MOST_NATS : grounds === 1 ? ONE_GROUND_MOST : BOTH_GROUND_MOST;
    short += reading(e, point.rough8[m]!, solid.rough8[near]!, SHORT_NOISE_MM, most);
    long += reading(e, point.rough24[m]!, solid.rough24[near]!, LONG_NOISE_MM, most);
    tone += tones.agreement(point.tone[m]!, solid.tone[near]!);
  }
  const lengthMm = contact * SAMPLE_MM;
  const toneNats = Math.max(
    (tone * SAMPLE_MM) / TONE_PER_MM,
    -TONE_FLOOR_PER_MM * lengthMm - TONE_FLOOR,
  );
  into.nats +=
    0.5 *
    ((short * SAMPLE_MM) / SHORT_PER_MM +
      (long * SAMPLE_MM) / LONG_PER_MM +
      toneNats -
      OVERLAP_NATS_PER_MM2 * overlap * SAMPLE_MM -
      (WEDGE_NATS * wedges * SAMPLE_MM) / SHORT_PER_MM);
  into.lengthMm += 0.5 * lengthMm;
  into.overlapMm2 += 0.5 * overlap * SAMPLE_MM;
  into.samples += contact;
}

/** One sample: misfit as noise of one edge torn in two, against two edges as crooked as these by chance. */
function reading(e: number, a: number, b: number, noise: number, most: number): number {
  const s = Math.max(noise, CROOKED_FACTOR * Math.sqrt(a * a + b * b));
  const far = Math.min(Math.abs(e), 2 * s);
  const nats = Math.log(s / noise) - (e * e) / (2 * noise * noise) + (far * far) / (2 * s * s);
  return nats < LEAST_NATS ? LEAST_NATS : nats > most ? most : nats;
}
