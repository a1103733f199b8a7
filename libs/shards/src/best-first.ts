import { type Join, type JoinTerms, tryJoin } from './join.js';
import { guestsOf, type Layout, middle, takeIn } from './layout.js';
import type { Candidate } from './pair-candidates.js';
import { inverseTurn, mirroredTurn, type Turn } from './pose.js';
import { settleGroup } from './settle.js';

/** Nothing below this is put together. */
const LEAST_NATS = 6;
const ROUNDS_AFTER_MERGE = 2;

interface Open {
  readonly candidate: Candidate;
  nats: number;
  /** Known when the candidate was weighed against the groups as they stand. */
  join: Join | null;
  isCurrent: boolean;
}

/**
 * Puts groups together, the best-founded join first. After every merge what touches the merged group is settled and
 * weighed again against all of it, so that a pair's own score only opens the matter.
 */
export function bestFirst(
  l: Layout,
  candidates: readonly Candidate[],
  terms: JoinTerms,
  locked: ReadonlySet<number> = new Set(),
  /** Shards that lie in the common frame already: their group is never the one that moves. */
  held: ReadonlySet<number> = locked,
): void {
  let open: Open[] = candidates.map((candidate) => ({
    candidate,
    nats: candidate.nats,
    join: null,
    isCurrent: false,
  }));
  for (;;) {
    open = open.filter(({ candidate: c }) => l.groupOf[c.a] !== l.groupOf[c.b]);
    let best: Open | undefined;
    for (const o of open) if (best === undefined || o.nats > best.nats) best = o;
    if (best === undefined || best.nats < LEAST_NATS) return;
    if (!best.isCurrent || best.join === null) {
      weigh(l, best, terms, held);
      continue;
    }
    const { a, b } = best.candidate;
    const guestGroup = l.groupOf[best.join.guests[0]!.index]!;
    const [ga, gb] = [l.groupOf[a]!, l.groupOf[b]!];
    const group = guestGroup === ga ? gb : ga;
    takeIn(l, group, best.join.guests);
    settleGroup(l, group, terms.gapMm, ROUNDS_AFTER_MERGE, locked);
    for (const o of open) {
      const { a: p, b: q } = o.candidate;
      if (l.groupOf[p] === l.groupOf[q]) continue;
      if (l.groupOf[p] === group || l.groupOf[q] === group) weigh(l, o, terms, held);
    }
    open = withoutTwins(
      l,
      open.filter((o) => o.nats > -Infinity),
    );
  }
}

/** The smaller group (never one that is held) is brought to the larger. */
function weigh(l: Layout, o: Open, terms: JoinTerms, held: ReadonlySet<number>): void {
  const { a, b, flip, turn } = o.candidate;
  const [ga, gb] = [l.groupOf[a]!, l.groupOf[b]!];
  const isHeld = (g: number): boolean => l.members[g]!.some((i) => held.has(i));
  const aStays = isHeld(ga) || (!isHeld(gb) && l.members[ga]!.length >= l.members[gb]!.length);
  const guests = aStays
    ? guestsOf(l, a, b, flip, turn)
    : guestsOf(l, b, a, flip, backwards(flip, inverseTurn(turn)));
  const group = aStays ? ga : gb;
  o.join = tryJoin(l, group, guests, terms);
  o.nats = o.join === null ? -Infinity : o.join.nats;
  o.isCurrent = true;
}

/** A candidate is stated with a on side 0; told from b, it is b that must be on side 0. */
export const backwards = (flip: 0 | 1, turn: Turn): Turn => (flip ? mirroredTurn(turn) : turn);

/** Of candidates that put the same two groups together in the same way one is enough. */
function withoutTwins(l: Layout, open: readonly Open[]): Open[] {
  const seen = new Map<string, Open[]>();
  return open.filter((o) => {
    if (o.join === null) return true;
    const { a, b } = o.candidate;
    const [ga, gb] = [l.groupOf[a]!, l.groupOf[b]!];
    const guest = o.join.guests[0]!;
    const key = `${Math.min(ga, gb)} ${Math.max(ga, gb)} ${guest.index} ${guest.side}`;
    const before = seen.get(key) ?? [];
    const [x, y] = middle(l.shards[guest.index]!, guest.side, guest.turn);
    const isTwin = before.some((other) => {
      const g = other.join!.guests[0]!;
      const [ox, oy] = middle(l.shards[g.index]!, g.side, g.turn);
      return (
        Math.hypot(x - ox, y - oy) < 0.4 &&
        Math.abs(g.turn.sin * guest.turn.cos - g.turn.cos * guest.turn.sin) < 0.02 &&
        Math.abs(other.nats - o.nats) < 0.5
      );
    });
    if (isTwin) return false;
    seen.set(key, [...before, o]);
    return true;
  });
}
