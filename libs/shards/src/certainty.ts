import { jointWeight, type WeighedJoint } from './joints.js';
import { minimumCut } from './min-cut.js';

/**
 * How sure a place is: `sure` when no cut through the joints that would part it from the rest is light, `probable` when it
 * is not very light, else `one-of-several`. A shard's own score misleads: two may support each other and be wrong together.
 */
export type Certainty = 'sure' | 'probable' | 'one-of-several';

/** No lighter cut parts what is sure from the rest. */
export const SURE_NATS = 35;
const PROBABLE_NATS = 15;

export function certainties(
  members: readonly number[],
  joints: readonly WeighedJoint[],
  held: ReadonlySet<number> = new Set(),
): Map<number, Certainty> {
  const sure = heart(members, joints, SURE_NATS, held);
  const probable = heart(members, joints, PROBABLE_NATS, held);
  return new Map(
    members.map((i) => [i, sure.has(i) ? 'sure' : probable.has(i) ? 'probable' : 'one-of-several']),
  );
}

/** What is left when every part that hangs by less than `leastNats` has been put aside; held members stay. */
export function heart(
  members: readonly number[],
  joints: readonly WeighedJoint[],
  leastNats: number,
  held: ReadonlySet<number> = new Set(),
): Set<number> {
  let left = [...members];
  while (left.length > 1) {
    const at = new Map(left.map((i, k) => [i, k]));
    const weights = left.map(() => new Float64Array(left.length));
    for (const joint of joints) {
      const p = at.get(joint.a);
      const q = at.get(joint.b);
      if (p === undefined || q === undefined) continue;
      weights[p]![q]! += jointWeight(joint);
      weights[q]![p] = weights[p]![q]!;
    }
    // a person's word holds the locked ones together
    const locked = left.filter((i) => held.has(i)).map((i) => at.get(i)!);
    for (const p of locked.slice(1)) weights[locked[0]!]![p] = weights[p]![locked[0]!] = 1e6;
    const { weight, side } = minimumCut(weights);
    if (weight >= leastNats) return new Set(left);
    const isSide = new Set(side.map((k) => left[k]!));
    const other = left.filter((i) => !isSide.has(i));
    const holds = (list: readonly number[]): boolean => list.some((i) => held.has(i));
    const sideStays = holds([...isSide]) || (!holds(other) && isSide.size > other.length);
    left = sideStays ? left.filter((i) => isSide.has(i)) : other;
  }
  // one shard by itself is held by nothing
  return new Set(left.filter((i) => held.has(i)));
}
