/** What cannot be: one thing in two crates, two things in one slot. */
import type { CustodyLedger } from './whereabouts.js';

export interface Packing {
  readonly crateId: string;
  /** crate that the things are said to come out of; null: none was named */
  readonly fromCrateId: string | null;
  readonly things: readonly string[];
  /** slot by thing */
  readonly slots: Readonly<Record<string, string>>;
}

export type PackingFault =
  | { readonly fault: 'in-another-crate'; readonly key: string; readonly crateId: string }
  | {
      readonly fault: 'slot-taken';
      readonly key: string;
      readonly slot: string;
      readonly by: string;
    };

/** The first thing that stands against it; undefined: it can be. */
export function packingFault(packing: Packing, before: CustodyLedger): PackingFault | undefined {
  const { crateId, fromCrateId, things, slots } = packing;
  for (const key of things) {
    const there = before.where(key);
    const isOwn = there.own?.things.includes(key) === true;
    const inCrate = isOwn ? there.crate?.crateId : undefined;
    if (inCrate !== undefined && inCrate !== crateId && inCrate !== fromCrateId)
      return { fault: 'in-another-crate', key, crateId: inCrate };
  }
  const taken = new Map(
    before
      .inCrate(crateId)
      .filter((key) => !things.includes(key))
      .flatMap((key) => {
        const slot = before.where(key).crate?.slot;
        return slot == null ? [] : [[slot, key] as const];
      }),
  );
  for (const key of things) {
    const slot = slots[key];
    if (slot === undefined) continue;
    const by = taken.get(slot);
    if (by !== undefined) return { fault: 'slot-taken', key, slot, by };
    taken.set(slot, key);
  }
  return undefined;
}
