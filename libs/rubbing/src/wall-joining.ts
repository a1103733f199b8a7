import type { LeadEvidence } from './lead-evidence.js';
import type { FaintWall, Regions } from './region-labels.js';

/**
 * Joined with more than this a wall may be a lead all the same: of 11 such walls on five tuning rubbings 7 were, and
 * rubbings with whole wax had none. Weaker ones were hardly ever.
 */
const FAINT_WALL = 0.2;
/** Shorter ones are what is left of a crossing. */
const FAINT_LENGTH_MM = 8;

export interface JoiningRule {
  /** A wall whose mean centre-line evidence is below this is no lead, unless it is faint and long. */
  readonly keepWall: number;
  /** A faint wall so long that shows a lead plainly somewhere is drawn. */
  readonly drawnFaintMm: number;
}

/** On 19 tuning rubbings 9 of 10 long faint walls were leads, and two that show none plainly were not. */
const JOINING: JoiningRule = { keepWall: 0.35, drawnFaintMm: 36 };
/** For a second reading: what it drops is a lead on weak evidence only. */
export const STRICT_JOINING: JoiningRule = { keepWall: 0.5, drawnFaintMm: Infinity };
/** Evidence of a lead seen plainly, and the share of a long faint wall that shows it. */
const PLAIN = 0.42;
const PLAIN_SHARE = 0.1;
/** A region whose mean evidence of lying outside is above this is joined to the outside. */
const MEAN_OUTSIDE = 0.7;

interface Wall {
  a: number;
  b: number;
  sum: number;
  length: number;
  /** Cells that show a lead plainly. */
  plain: number;
  /** Sums over its cells, for its middle. */
  x: number;
  y: number;
}

/**
 * Joins regions over walls that no lead explains, weakest first, pooling the evidence of both parts after each join.
 * The outside is the region along the picture's border.
 */
export function joinWeakWalls(
  labels: Int32Array,
  count: number,
  evidence: LeadEvidence,
  rule: JoiningRule = JOINING,
): Regions {
  const { width, height } = evidence.face;
  const parent = Int32Array.from({ length: count + 1 }, (_, k) => k);
  const find = (a: number): number => {
    while (parent[a] !== a) {
      parent[a] = parent[parent[a]!]!;
      a = parent[a]!;
    }
    return a;
  };
  // everything on the border is outside
  const outside = labels[0]!;
  const touch = (i: number): void => {
    const a = find(labels[i]!);
    const b = find(outside);
    if (a !== b) parent[a] = b;
  };
  for (let x = 0; x < width; x++) {
    touch(x);
    touch((height - 1) * width + x);
  }
  for (let y = 0; y < height; y++) {
    touch(y * width);
    touch(y * width + width - 1);
  }

  // and so is what the network takes for bare paper or table beyond the panel
  const outsideSum = new Float64Array(count + 1);
  const cells = new Int32Array(count + 1);
  for (let i = 0; i < labels.length; i++) {
    outsideSum[labels[i]!]! += evidence.outside.data[i]!;
    cells[labels[i]!]!++;
  }
  for (let k = 1; k <= count; k++) {
    const a = find(k);
    const b = find(outside);
    if (a !== b && outsideSum[k]! > MEAN_OUTSIDE * cells[k]!) parent[a] = b;
  }

  const walls = new Map<number, Wall>();
  const add = (i: number, j: number, step: number): void => {
    const p = find(labels[i]!);
    const q = find(labels[j]!);
    if (p === q) return;
    const a = Math.min(p, q);
    const b = Math.max(p, q);
    const key = a * (count + 1) + b;
    let wall = walls.get(key);
    if (!wall) {
      wall = { a, b, sum: 0, length: 0, plain: 0, x: 0, y: 0 };
      walls.set(key, wall);
    }
    const c = evidence.centre.data;
    let e = Math.max(c[i]!, c[j]!);
    if (i - step >= 0) e = Math.max(e, c[i - step]!);
    if (j + step < c.length) e = Math.max(e, c[j + step]!);
    wall.sum += e;
    wall.length++;
    if (e >= PLAIN) wall.plain++;
    wall.x += i % width;
    wall.y += Math.floor(i / width);
  };
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const i = y * width + x;
      if (x + 1 < width && labels[i] !== labels[i + 1]) add(i, i + 1, 1);
      if (y + 1 < height && labels[i] !== labels[i + width]) add(i, i + width, width);
    }
  }

  // weakest first; a linear search is enough for some thousand walls
  const around = new Map<number, Map<number, Wall>>();
  const link = (w: Wall): void => {
    for (const [p, q] of [
      [w.a, w.b],
      [w.b, w.a],
    ] as const) {
      let m = around.get(p);
      if (!m) around.set(p, (m = new Map<number, Wall>()));
      m.set(q, w);
    }
  };
  for (const w of walls.values()) link(w);
  const alive = new Set(walls.values());
  const faint: FaintWall[] = [];
  const isFaintLead = ({ a, b, sum, length }: Wall, leastMm: number): boolean =>
    sum >= FAINT_WALL * length &&
    length >= leastMm * evidence.cellsPerMm &&
    [a, b].every((k) => find(k) !== find(outside));
  for (;;) {
    let weakest: Wall | undefined;
    for (const w of alive) {
      if (w.sum >= rule.keepWall * w.length) continue;
      if (isFaintLead(w, rule.drawnFaintMm) && w.plain >= PLAIN_SHARE * w.length) continue;
      if (!weakest || w.sum * weakest.length < weakest.sum * w.length) weakest = w;
    }
    if (!weakest) break;
    alive.delete(weakest);
    const { a, b, length } = weakest;
    if (isFaintLead(weakest, FAINT_LENGTH_MM)) {
      faint.push({ x: weakest.x / length, y: weakest.y / length, length });
    }
    const from = around.get(b)!;
    const into = around.get(a)!;
    into.delete(b);
    from.delete(a);
    parent[find(b)] = find(a);
    for (const [other, w] of from) {
      around.get(other)!.delete(b);
      const known = into.get(other);
      if (known) {
        known.sum += w.sum;
        known.length += w.length;
        known.plain += w.plain;
        known.x += w.x;
        known.y += w.y;
        alive.delete(w);
      } else {
        w.a = a;
        w.b = other;
        link(w);
      }
    }
    around.delete(b);
  }

  const name = new Int32Array(count + 1);
  let used = 0;
  const out = new Int32Array(labels.length);
  for (let i = 0; i < labels.length; i++) {
    const p = find(labels[i]!);
    if (name[p] === 0) name[p] = ++used;
    out[i] = name[p]!;
  }
  return { width, height, labels: out, outside: out[0]!, count: used, faint };
}
