import { addEvidence, noEvidence } from './evidence.js';
import { faceOf, type Layout } from './layout.js';
import { inverseTurn, relativeTurn } from './pose.js';
import { touching } from './settle.js';
import type { ToneModel } from './tone-model.js';

/** Two shards of a group whose edges lie along one another. */
export interface WeighedJoint {
  readonly a: number;
  readonly b: number;
  readonly nats: number;
  readonly lengthMm: number;
}

const LEAST_LENGTH_MM = 2;
/** Long joints of little evidence a millimetre count less. */
const LONG_MM = 20;
const LONG_COST_PER_MM = 0.3;

export function weighedJoints(
  l: Layout,
  group: number,
  gapMm: number,
  tones: ToneModel,
): WeighedJoint[] {
  const out: WeighedJoint[] = [];
  for (const [a, b] of touching(l, group)) {
    const rel = relativeTurn(l.turn[a]!, l.turn[b]!);
    const sum = noEvidence();
    addEvidence(sum, faceOf(l, a), faceOf(l, b), rel, gapMm, tones);
    addEvidence(sum, faceOf(l, b), faceOf(l, a), inverseTurn(rel), gapMm, tones);
    if (sum.lengthMm >= LEAST_LENGTH_MM) out.push({ a, b, nats: sum.nats, lengthMm: sum.lengthMm });
  }
  return out;
}

/** What a joint weighs where certainty is asked. */
export function jointWeight({ nats, lengthMm }: WeighedJoint): number {
  return Math.max(0, Math.max(0, nats) - LONG_COST_PER_MM * Math.max(0, lengthMm - LONG_MM));
}
