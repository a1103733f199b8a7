/**
 * Where things are, told by what was said of their movements. A thing lies at a place, with somebody,
 * or in a crate and is then where the crate is; a piece that did not go by itself is with its panel.
 */
import { withWhole } from './thing.js';

/** Where something was brought. */
export type At =
  /** in its opening */
  | { readonly kind: 'opening' }
  /** out of its opening, at the window */
  | { readonly kind: 'window' }
  | { readonly kind: 'bench' }
  | { readonly kind: 'place'; readonly place: string }
  /** a person or a house: painter, laboratory; `place` where they keep it, if that was said */
  | { readonly kind: 'holder'; readonly role: string; readonly place: string | null }
  | { readonly kind: 'crate'; readonly crateId: string }
  /** back with what it is part of */
  | { readonly kind: 'whole' };

/** How far a change of hands has come: nobody's hands change; due; given away; taken over. */
export type Passing = 'none' | 'due' | 'given' | 'taken';

export interface CustodyFact {
  /** the day by which it had happened, YYYY-MM-DD */
  readonly day: string;
  /** place of its entry in the history: orders what happened on one day */
  readonly seq: number;
  readonly movementId: string | null;
  /** keys, see thing.ts */
  readonly things: readonly string[];
  readonly crateIds: readonly string[];
  readonly to: At;
  /** slot by thing, where it went into a crate */
  readonly slots: Readonly<Record<string, string>>;
  /** what lies in the crates is taken out of them there */
  readonly unpacks: boolean;
  readonly passing: Passing;
  readonly why: string | null;
  readonly isTemporary: boolean;
  /** EDTF */
  readonly expectedReturn: string | null;
}

export interface Whereabouts {
  readonly key: string;
  /** the place itself, never a crate; null: nothing was said */
  readonly at: Exclude<At, { kind: 'crate' | 'whole' }> | null;
  readonly crate: { readonly crateId: string; readonly slot: string | null } | null;
  /** what decides where it is: its own last movement, or that of what it is part of */
  readonly own: CustodyFact | null;
  /** the crate's last movement, while it lies in one */
  readonly crateFact: CustodyFact | null;
}

/** By day, then by entry. */
export const inOrder = (facts: readonly CustodyFact[]): CustodyFact[] =>
  facts.toSorted((a, b) => (a.day === b.day ? a.seq - b.seq : a.day < b.day ? -1 : 1));

/** Takes up facts one by one, each later than the one before. */
export class CustodyLedger {
  readonly #things = new Map<string, CustodyFact>();
  readonly #crates = new Map<string, CustodyFact>();

  constructor(facts: readonly CustodyFact[] = []) {
    for (const fact of inOrder(facts)) this.take(fact);
  }

  take(fact: CustodyFact): void {
    if (fact.unpacks)
      for (const crateId of fact.crateIds)
        for (const key of this.inCrate(crateId)) this.#things.set(key, fact);
    for (const key of fact.things) this.#things.set(key, fact);
    for (const crateId of fact.crateIds) this.#crates.set(crateId, fact);
  }

  /** Keys of what lies in a crate, in the order in which it was laid in. */
  inCrate(crateId: string): string[] {
    return [...this.#things]
      .filter(([, { to }]) => to.kind === 'crate' && to.crateId === crateId)
      .map(([key]) => key);
  }

  /** Everything that was ever moved. */
  get keys(): string[] {
    return [...this.#things.keys()];
  }

  where(key: string): Whereabouts {
    for (const part of withWhole(key)) {
      const own = this.#things.get(part);
      if (own === undefined || own.to.kind === 'whole') continue;
      if (own.to.kind !== 'crate') return { key, at: own.to, crate: null, own, crateFact: null };
      const { crateId } = own.to;
      const crateFact = this.#crates.get(crateId) ?? null;
      return {
        key,
        at: crateFact === null ? null : placeOf(crateFact),
        crate: { crateId, slot: own.slots[part] ?? null },
        own,
        crateFact,
      };
    }
    return { key, at: null, crate: null, own: null, crateFact: null };
  }

  whereIsCrate(crateId: string): CustodyFact | null {
    return this.#crates.get(crateId) ?? null;
  }
}

/** Every change of where a thing was, oldest first: its own, that of its whole and of its crate. */
export function chainOfCustody(facts: readonly CustodyFact[], key: string): Whereabouts[] {
  const ledger = new CustodyLedger();
  const chain: Whereabouts[] = [];
  for (const fact of inOrder(facts)) {
    ledger.take(fact);
    const now = ledger.where(key);
    if (now.own === fact || now.crateFact === fact) chain.push(now);
    else if (isBackWithWhole(fact, key)) chain.push({ ...now, own: fact });
  }
  return chain;
}

const isBackWithWhole = (fact: CustodyFact, key: string): boolean =>
  fact.to.kind === 'whole' && fact.things.some((thing) => withWhole(key).includes(thing));

// A crate is never said to be in a crate or with a whole.
const placeOf = ({ to }: CustodyFact): Whereabouts['at'] =>
  to.kind === 'crate' || to.kind === 'whole' ? null : to;
