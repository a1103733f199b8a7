/** A piece of glass broken into so many shards: a tree of cracks, each parting one fragment. */

import type { Xy } from '../../score/score-math.js';
import { isInside } from '../polyline.js';
import type { RandomStream } from '../random-stream.js';
import { Crack, Star } from './crack.js';

/** The fragments are planned on points this far apart. */
const PLAN_MM = 1;
const LEAST_AREA_MM2 = 130;

type Node = { shard: number } | { crack: Crack; left: Node; right: Node };

export class Fracture {
  readonly #star: Star | null;
  readonly #roots: Node[];
  readonly count: number;

  constructor(random: RandomStream, outline: readonly Xy[], count: number, hasImpact: boolean) {
    this.count = count;
    const points = planPoints(outline);
    let fragments: { node: Node; points: Xy[] }[];
    if (hasImpact) {
      const [x, y] = middleOf(points);
      const rays = random.whole(5, 8);
      this.#star = new Star(
        random,
        x + random.between(-15, 15),
        y + random.between(-10, 10),
        rays,
        random.between(0.7, 1.2),
      );
      fragments = Array.from({ length: rays }, (_, k) => ({
        node: { shard: k },
        points: points.filter((p) => this.#star!.sector(...p) === k),
      }));
    } else {
      this.#star = null;
      fragments = [{ node: { shard: 0 }, points }];
    }
    this.#roots = fragments.map((f) => f.node);
    let tries = 0;
    while (fragments.length < count) {
      if (++tries > 4000) throw new Error(`no way found to break the piece into ${count}`);
      fragments.sort((a, b) => b.points.length - a.points.length);
      const k = random.chance(0.7) ? 0 : random.whole(0, Math.min(3, fragments.length - 1));
      const parent = fragments[k]!;
      const crack = crackThrough(random, parent.points);
      const left = parent.points.filter((p) => crack.isLeft(...p));
      const right = parent.points.filter((p) => !crack.isLeft(...p));
      const least = Math.max(LEAST_AREA_MM2, 0.22 * parent.points.length);
      if (left.length < least || right.length < least || !isWhole(left) || !isWhole(right))
        continue;
      const a: Node = { shard: -1 };
      const b: Node = { shard: -1 };
      this.#replace(parent.node, { crack, left: a, right: b });
      fragments.splice(k, 1, { node: a, points: left }, { node: b, points: right });
    }
    for (const [i, f] of fragments.entries()) (f.node as { shard: number }).shard = i;
  }

  /** The shard at a place of the piece. */
  shardAt(x: number, y: number): number {
    let node = this.#roots[this.#star ? this.#star.sector(x, y) : 0]!;
    while ('crack' in node) node = node.crack.isLeft(x, y) ? node.left : node.right;
    return node.shard;
  }

  #replace(old: Node, by: Node): void {
    const root = this.#roots.indexOf(old);
    if (root >= 0) {
      this.#roots[root] = by;
      return;
    }
    const visit = (node: Node): void => {
      if (!('crack' in node)) return;
      if (node.left === old) node.left = by;
      else if (node.right === old) node.right = by;
      else {
        visit(node.left);
        visit(node.right);
      }
    };
    this.#roots.forEach(visit);
  }
}

/** Across a fragment, more or less square to its length. */
function crackThrough(random: RandomStream, points: readonly Xy[]): Crack {
  const [mx, my] = middleOf(points);
  let xx = 0;
  let xy = 0;
  let yy = 0;
  for (const [x, y] of points) {
    xx += (x - mx) ** 2;
    xy += (x - mx) * (y - my);
    yy += (y - my) ** 2;
  }
  const length = 0.5 * Math.atan2(2 * xy, xx - yy);
  const spread = Math.sqrt((xx + yy) / points.length);
  const roughness = random.chance(0.15) ? random.between(0.45, 0.6) : random.between(0.7, 1.35);
  return new Crack(
    random,
    mx + random.normal() * spread * 0.2,
    my + random.normal() * spread * 0.2,
    length + Math.PI / 2 + random.normal() * 0.4 + (random.chance(0.5) ? Math.PI : 0),
    roughness,
  );
}

function planPoints(outline: readonly Xy[]): Xy[] {
  const points: Xy[] = [];
  const xs = outline.map((p) => p[0]);
  const ys = outline.map((p) => p[1]);
  for (let y = Math.floor(Math.min(...ys)); y < Math.max(...ys); y += PLAN_MM) {
    for (let x = Math.floor(Math.min(...xs)); x < Math.max(...xs); x += PLAN_MM) {
      const middle: Xy = [x + 0.5, y + 0.5];
      if (isInside(middle, outline)) points.push(middle);
    }
  }
  return points;
}

function middleOf(points: readonly Xy[]): Xy {
  return [
    points.reduce((s, p) => s + p[0], 0) / points.length,
    points.reduce((s, p) => s + p[1], 0) / points.length,
  ];
}

/** Whether grid points hang together. */
function isWhole(points: readonly Xy[]): boolean {
  const key = (x: number, y: number): number => Math.floor(x + 500) * 2000 + Math.floor(y + 500);
  const left = new Set(points.map(([x, y]) => key(x, y)));
  const stack = [points[0]!];
  left.delete(key(...stack[0]!));
  for (let p = stack.pop(); p !== undefined; p = stack.pop()) {
    for (const [dx, dy] of [
      [1, 0],
      [-1, 0],
      [0, 1],
      [0, -1],
    ] as const) {
      const q: Xy = [p[0] + dx, p[1] + dy];
      if (left.delete(key(...q))) stack.push(q);
    }
  }
  return left.size === 0;
}
