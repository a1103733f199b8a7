import { composeTurns, inverseTurn, mirroredTurn, STILL, type Turn } from './pose.js';
import type { Shard, ShardFace } from './shard-face.js';

/** Shards lying in groups, each group in a frame of its own. */
export interface Layout {
  readonly shards: readonly Shard[];
  /** Of each shard: the face that shows, and where it lies in its group's frame. */
  readonly side: (0 | 1)[];
  readonly turn: Turn[];
  /** Group of each shard, and members of each group (empty when it has gone into another). */
  readonly groupOf: number[];
  readonly members: number[][];
}

export function looseLayout(shards: readonly Shard[]): Layout {
  return {
    shards,
    side: shards.map(() => 0),
    turn: shards.map(() => STILL),
    groupOf: shards.map((_, i) => i),
    members: shards.map((_, i) => [i]),
  };
}

export const faceOf = (l: Layout, i: number): ShardFace => l.shards[i]!.faces[l.side[i]!];

const areaOf = (l: Layout, members: readonly number[]): number =>
  members.reduce((sum, i) => sum + l.shards[i]!.areaMm2, 0);

/** The group with the most glass. */
export function largestGroup(l: Layout): number {
  const areas = l.members.map((members) => areaOf(l, members));
  return areas.indexOf(Math.max(...areas));
}

/** Share of the glass that lies in the largest group. */
export function heldShare(l: Layout): number {
  return areaOf(l, l.members[largestGroup(l)]!) / areaOf(l, [...l.shards.keys()]);
}

/** Middle of a shard in its group's frame, were it shown by `side` and turned by `turn`. */
export function middle(shard: Shard, side: 0 | 1, turn: Turn): [number, number] {
  const cx = side ? -shard.centreX : shard.centreX;
  return [
    turn.cos * cx - turn.sin * shard.centreY + turn.x,
    turn.sin * cx + turn.cos * shard.centreY + turn.y,
  ];
}

/** A group about to be moved: its members' faces and turns in the other group's frame. */
export interface Guest {
  readonly index: number;
  readonly side: 0 | 1;
  turn: Turn;
}

/** Where the members of b's group would lie in a's when b is joined to a by `turn` (see Candidate). */
export function guestsOf(l: Layout, a: number, b: number, flip: 0 | 1, turn: Turn): Guest[] {
  const rel = l.side[a] ? mirroredTurn(turn) : turn;
  const wanted = (flip ^ l.side[a]!) as 0 | 1;
  const isMirrored = wanted !== l.side[b];
  const own = isMirrored ? mirroredTurn(l.turn[b]!) : l.turn[b]!;
  const move = composeTurns(composeTurns(l.turn[a]!, rel), inverseTurn(own));
  return l.members[l.groupOf[b]!]!.map((index) => ({
    index,
    side: (isMirrored ? 1 - l.side[index]! : l.side[index]!) as 0 | 1,
    turn: composeTurns(move, isMirrored ? mirroredTurn(l.turn[index]!) : l.turn[index]!),
  }));
}

/** Lets the guests stay: their group goes into `group`. */
export function takeIn(l: Layout, group: number, guests: readonly Guest[]): void {
  const from = l.groupOf[guests[0]!.index]!;
  for (const { index, side, turn } of guests) {
    l.side[index] = side;
    l.turn[index] = turn;
    l.groupOf[index] = group;
    l.members[group]!.push(index);
  }
  l.members[from] = [];
}

export interface Contact {
  readonly host: number;
  readonly guest: Guest;
}

/** Pairs of a member of the group and a guest that are near enough to touch. */
export function contactsOf(
  l: Layout,
  group: number,
  guests: readonly Guest[],
  slackMm = 3,
): Contact[] {
  const out: Contact[] = [];
  for (const host of l.members[group]!) {
    const shard = l.shards[host]!;
    const [hx, hy] = middle(shard, l.side[host]!, l.turn[host]!);
    for (const guest of guests) {
      const other = l.shards[guest.index]!;
      const [gx, gy] = middle(other, guest.side, guest.turn);
      if (Math.hypot(gx - hx, gy - hy) < shard.radiusMm + other.radiusMm + slackMm)
        out.push({ host, guest });
    }
  }
  return out;
}
