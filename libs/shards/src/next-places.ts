import { backwards } from './best-first.js';
import type { Certainty } from './certainty.js';
import { type JoinTerms, tryJoin } from './join.js';
import { guestsOf, type Layout, middle } from './layout.js';
import type { Candidate } from './pair-candidates.js';
import { inverseTurn, type Turn } from './pose.js';

export interface NextPlace {
  readonly side: 0 | 1;
  readonly turn: Turn;
  readonly nats: number;
}

const KEPT = 4;
const LEAST_NATS = 4;
const SAME_MM = 1.5;

/**
 * For every shard whose place is not sure: where else its own edges would let it lie against what is sure, best first.
 * The places are in the frame of the group that `members` belong to.
 */
export function nextPlaces(
  l: Layout,
  members: readonly number[],
  certainty: ReadonlyMap<number, Certainty>,
  candidates: readonly Candidate[],
  terms: JoinTerms,
): Map<number, NextPlace[]> {
  const sure = members.filter((i) => certainty.get(i) === 'sure');
  const hosts = sure.length > 0 ? sure : members;
  const out = new Map<number, NextPlace[]>();
  for (const i of members) {
    if (certainty.get(i) === 'sure') continue;
    const own = alone(
      l,
      i,
      hosts.filter((h) => h !== i),
    );
    const [x, y] = middle(l.shards[i]!, l.side[i]!, l.turn[i]!);
    const places: NextPlace[] = [];
    for (const c of candidates) {
      const host = c.a === i ? c.b : c.b === i ? c.a : -1;
      if (host < 0 || own.groupOf[host] !== GROUP) continue;
      const turn = c.b === i ? c.turn : backwards(c.flip, inverseTurn(c.turn));
      const join = tryJoin(own, GROUP, guestsOf(own, host, i, c.flip, turn), terms);
      const guest = join?.guests[0];
      if (!join || !guest || join.nats < LEAST_NATS) continue;
      const [u, v] = middle(l.shards[i]!, guest.side, guest.turn);
      const isKnown = (px: number, py: number): boolean => Math.hypot(px - u, py - v) < SAME_MM;
      if (isKnown(x, y)) continue;
      if (places.some((p) => isKnown(...middle(l.shards[i]!, p.side, p.turn)))) continue;
      places.push({ side: guest.side, turn: guest.turn, nats: join.nats });
    }
    out.set(i, places.sort((p, q) => q.nats - p.nats).slice(0, KEPT));
  }
  return out;
}

const GROUP = 0;
const OWN = 1;
const ELSEWHERE = 2;

/** The same layout with the hosts as one group and the shard by itself. */
function alone(l: Layout, shard: number, hosts: readonly number[]): Layout {
  return {
    ...l,
    groupOf: l.groupOf.map((_, i) => (i === shard ? OWN : hosts.includes(i) ? GROUP : ELSEWHERE)),
    members: [[...hosts], [shard], []],
  };
}
