import { faceOf, type Guest, type Layout, middle } from './layout.js';
import { isWellInside } from './overlap.js';
import type { Turn } from './pose.js';
import { SAMPLE_MM, type ShardFace } from './shard-face.js';

/**
 * Nothing lies beyond an original edge: what a join would cost because an edge that looks cut or ground would have
 * glass in front of it.
 */
const NATS_PER_MM = 0.3;
const FREE_MM = 4;
/** A long smooth crack can look cut, so this alone never outweighs a good joint. */
const MOST_NATS = 12;
const DISTANCES_MM = [4, 8, 12, 16, 20];
const EVERY = 2;

interface Lying {
  readonly face: ShardFace;
  readonly turn: Turn;
  readonly x: number;
  readonly y: number;
  readonly radiusMm: number;
}

export function blockedNats(l: Layout, group: number, guests: readonly Guest[]): number {
  const hosts = l.members[group]!.map((i) => lying(l, i, faceOf(l, i), l.side[i]!, l.turn[i]!));
  const others = guests.map((g) =>
    lying(l, g.index, l.shards[g.index]!.faces[g.side], g.side, g.turn),
  );
  const blockedMm = blocked(hosts, others) + blocked(others, hosts);
  return Math.min(MOST_NATS, NATS_PER_MM * Math.max(0, blockedMm - FREE_MM));
}

function lying(l: Layout, index: number, face: ShardFace, side: 0 | 1, turn: Turn): Lying {
  const [x, y] = middle(l.shards[index]!, side, turn);
  return { face, turn, x, y, radiusMm: l.shards[index]!.radiusMm };
}

function blocked(from: readonly Lying[], against: readonly Lying[]): number {
  let count = 0;
  const farthest = DISTANCES_MM.at(-1)!;
  for (const a of from) {
    const near = against.filter(
      (b) => Math.hypot(a.x - b.x, a.y - b.y) < a.radiusMm + b.radiusMm + farthest,
    );
    if (near.length === 0) continue;
    const { ring, normals, isGround } = a.face;
    const { cos, sin, x, y } = a.turn;
    for (let m = 0; m < isGround.length; m += EVERY) {
      if (isGround[m] === 0) continue;
      const px = cos * ring[2 * m]! - sin * ring[2 * m + 1]! + x;
      const py = sin * ring[2 * m]! + cos * ring[2 * m + 1]! + y;
      const nx = cos * normals[2 * m]! - sin * normals[2 * m + 1]!;
      const ny = sin * normals[2 * m]! + cos * normals[2 * m + 1]!;
      if (
        DISTANCES_MM.some((d) =>
          near.some((b) => isWellInside(b.face, b.turn, px + d * nx, py + d * ny)),
        )
      )
        count++;
    }
  }
  return count * EVERY * SAMPLE_MM;
}
