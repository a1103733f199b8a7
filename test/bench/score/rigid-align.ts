/** Rotation and shift taking one point set onto another by trimmed nearest points, from four starts. */
import { PointTree } from './point-tree.js';
import { percentile, type Xy } from './score-math.js';

const { hypot } = Math;

export interface Rigid {
  cos: number;
  sin: number;
  tx: number;
  ty: number;
}
export const IDENTITY: Rigid = { cos: 1, sin: 0, tx: 0, ty: 0 };

export const moved = (m: Rigid, [x, y]: Xy): Xy => [
  m.cos * x - m.sin * y + m.tx,
  m.sin * x + m.cos * y + m.ty,
];

export function rigidAlign(from: readonly Xy[], to: readonly Xy[]): Rigid {
  const tree = new PointTree(to);
  const middle = (points: readonly Xy[]): Xy => {
    const xs = points.map((p) => p[0]);
    const ys = points.map((p) => p[1]);
    return [(max(xs) + min(xs)) / 2, (max(ys) + min(ys)) / 2];
  };
  const cTo = middle(to);
  const cFrom = middle(from);
  const every = Math.max(1, Math.floor(from.length / 4000));
  const sample = from.filter((_, i) => i % every === 0);
  const nearest = (m: Rigid): { at: number[]; mm: number[] } => {
    const at: number[] = [];
    const mm: number[] = [];
    for (const [x, y] of sample) {
      const u = m.cos * x - m.sin * y + m.tx;
      const v = m.sin * x + m.cos * y + m.ty;
      const i = tree.nearestOne(u, v);
      at.push(i);
      mm.push(hypot(u - to[i]![0], v - to[i]![1]));
    }
    return { at, mm };
  };
  let best: { cost: number; m: Rigid } | undefined;
  for (const angle of [0, Math.PI / 2, Math.PI, -Math.PI / 2]) {
    const cos = Math.cos(angle);
    const sin = Math.sin(angle);
    let m: Rigid = {
      cos,
      sin,
      tx: cTo[0] - (cos * cFrom[0] - sin * cFrom[1]),
      ty: cTo[1] - (sin * cFrom[0] + cos * cFrom[1]),
    };
    for (let round = 0; round < 60; round++) {
      const { at, mm } = nearest(m);
      const limit = Math.max(percentile(mm, 80)!, 1e-9);
      const next = fitRigid(
        sample.filter((_, k) => mm[k]! <= limit),
        at.filter((_, k) => mm[k]! <= limit).map((i) => to[i]!),
      );
      const still =
        Math.max(Math.abs(next.cos - m.cos), Math.abs(next.sin - m.sin)) < 1e-8 &&
        Math.max(Math.abs(next.tx - m.tx), Math.abs(next.ty - m.ty)) < 1e-6;
      if (still) break;
      m = next;
    }
    const cost = percentile(nearest(m).mm, 80)!;
    if (!best || cost < best.cost) best = { cost, m };
  }
  return best!.m;
}

/** Least-squares rotation and shift between paired points (in the plane the angle has a closed form). */
export function fitRigid(from: readonly Xy[], to: readonly Xy[]): Rigid {
  const n = from.length;
  const sum = (points: readonly Xy[], k: 0 | 1): number => points.reduce((s, p) => s + p[k], 0) / n;
  const [fx, fy, tx, ty] = [sum(from, 0), sum(from, 1), sum(to, 0), sum(to, 1)];
  let dot = 0;
  let cross = 0;
  for (let i = 0; i < n; i++) {
    const [ax, ay] = [from[i]![0] - fx, from[i]![1] - fy];
    const [bx, by] = [to[i]![0] - tx, to[i]![1] - ty];
    dot += ax * bx + ay * by;
    cross += ax * by - ay * bx;
  }
  const angle = Math.atan2(cross, dot);
  const cos = Math.cos(angle);
  const sin = Math.sin(angle);
  return { cos, sin, tx: tx - (cos * fx - sin * fy), ty: ty - (sin * fx + cos * fy) };
}

const max = (values: readonly number[]): number =>
  values.reduce((a, b) => Math.max(a, b), -Infinity);
const min = (values: readonly number[]): number =>
  values.reduce((a, b) => Math.min(a, b), Infinity);
