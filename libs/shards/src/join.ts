import { addEvidence, type Evidence, noEvidence } from './evidence.js';
import { addFitSums, fitStep, makeFitSums } from './fit-sums.js';
import { type Contact, contactsOf, faceOf, type Guest, type Layout, middle } from './layout.js';
import { roughOverlapMm2 } from './overlap.js';
import { inverseTurn, nudgedTurn, relativeTurn } from './pose.js';
import { blockedNats } from './ray-test.js';
import type { ToneModel } from './tone-model.js';

const REACHES_MM = [1, 0.8, 0.6, 0.5];
/** On the first look, before anything is settled; true joins of large parts may be a millimetre out along their edge. */
const ROUGH_OVERLAP_MM2 = 60;
const ROUGH_OVERLAP_EACH_MM = 2;
const MOST_OVERLAP_MM2 = 12;

export interface JoinTerms {
  readonly gapMm: number;
  readonly tones: ToneModel;
  /** Pairs that a person said do not belong together: 'i j' with i < j. */
  readonly apart: ReadonlySet<string>;
  /** Further nats for a group lying so (the piece's outline); null when there are none. */
  readonly frameNats: ((guests: readonly Guest[], group: number) => number) | null;
}

export interface Join {
  readonly nats: number;
  readonly guests: readonly Guest[];
}

export const pairKey = (i: number, j: number): string => (i < j ? `${i} ${j}` : `${j} ${i}`);

/**
 * Brings guests to a group, settles them against all of it, and weighs every contact.
 * @returns null when they would lie on one another
 */
export function tryJoin(
  l: Layout,
  group: number,
  start: readonly Guest[],
  terms: JoinTerms,
): Join | null {
  const contacts = contactsOf(l, group, start);
  if (contacts.length === 0) return null;
  let overlap = 0;
  for (const { host, guest } of contacts) {
    overlap += roughOverlapMm2(faceOf(l, host), faceAs(l, guest), relOf(l, host, guest));
    if (overlap > ROUGH_OVERLAP_MM2 + ROUGH_OVERLAP_EACH_MM * start.length) return null;
  }
  const guests = settleGuests(l, start, contacts, terms.gapMm);
  const settledContacts = contactsOf(l, group, guests);
  const sum = noEvidence();
  for (const { host, guest } of settledContacts) {
    const before = sum.nats;
    weigh(l, host, guest, terms, sum);
    if (terms.apart.has(pairKey(host, guest.index)) && sum.nats - before > 1) return null;
  }
  if (sum.overlapMm2 > MOST_OVERLAP_MM2 + start.length) return null;
  const nats =
    sum.nats -
    blockedNats(l, group, guests) +
    (terms.frameNats ? terms.frameNats(guests, group) : 0);
  return { nats, guests };
}

const faceAs = (l: Layout, g: Guest) => l.shards[g.index]!.faces[g.side];
const relOf = (l: Layout, host: number, g: Guest) => relativeTurn(l.turn[host]!, g.turn);

function weigh(l: Layout, host: number, guest: Guest, terms: JoinTerms, sum: Evidence): void {
  const rel = relOf(l, host, guest);
  const a = faceOf(l, host);
  const b = faceAs(l, guest);
  addEvidence(sum, a, b, rel, terms.gapMm, terms.tones);
  addEvidence(sum, b, a, inverseTurn(rel), terms.gapMm, terms.tones);
}

function settleGuests(
  l: Layout,
  start: readonly Guest[],
  contacts: readonly Contact[],
  gapMm: number,
): Guest[] {
  // contacts name the guests they were made from, so these are moved in place
  const guests = start.map((g) => ({ ...g }));
  const moved = new Map(start.map((g, k) => [g, guests[k]!]));
  const sums = makeFitSums();
  const first = guests[0]!;
  for (const reachMm of REACHES_MM) {
    sums.fill(0);
    const [cx, cy] = middle(l.shards[first.index]!, first.side, first.turn);
    for (const contact of contacts) {
      const guest = moved.get(contact.guest)!;
      const { host } = contact;
      const rel = relOf(l, host, guest);
      const a = faceOf(l, host);
      const b = faceAs(l, guest);
      addFitSums(sums, a, b, rel, l.turn[host]!, cx, cy, gapMm, reachMm);
      addFitSums(sums, b, a, inverseTurn(rel), guest.turn, cx, cy, gapMm, reachMm, -1);
    }
    const step = fitStep(sums);
    if (step === null) break;
    for (const g of guests) g.turn = nudgedTurn(g.turn, cx, cy, ...step);
  }
  return guests;
}
