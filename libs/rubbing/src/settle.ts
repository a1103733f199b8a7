/**
 * Moves all points of a draft at once to where the evidence wants them, leads smooth, also through junctions.
 *
 * Energy: sum of w (n·(p - p0) - d)² over points with an offset d along the normal n, plus the squared second
 * differences along every lead, plus the same across a junction for two leads that run through it. A branch ends with
 * the second difference that reaches into its node, so its node is where its own line meets the lead running through.
 * Second differences are re-weighted (a sharp bend costs as little as a moderate one), which keeps corners.
 * The normal equations of each round are solved to the end: the stretch within every lead is eliminated, what is left
 * between nodes and ends is small. x and y meet through n, so both are solved together.
 */
import { type Draft, pointOf } from './draft.js';
import { LeadElimination } from './lead-elimination.js';
import { SettlingEnds, SIDE } from './settling-ends.js';

export interface PointTargets {
  /** Wanted shift along the normal, mm, one per point of the draft (nodes unused). */
  readonly offsetMm: Float64Array;
  /** Weight of each, 0 for none; 1 is one good measurement per millimetre. */
  readonly weight: Float64Array;
}

export interface SettleOptions {
  /** Stiffness: the smoothing reaches about its fourth root in points. */
  readonly stiffness: number;
  /** Second difference (mm at 1 mm spacing) above which a bend is taken as a corner. */
  readonly cornerMm: number;
  readonly rounds: number;
  /** How strongly points are held where they are along their lead; needed where an end is free, which would shrink. */
  readonly alongWeight?: number;
}

/** Two leads that run through a node as one: the points beside the node on either side. */
export interface Through {
  readonly node: number;
  readonly a: number;
  readonly b: number;
}

/** Keeps stretches without evidence where they are, along and across. */
const ANCHOR = 1e-4;

export function settle(
  draft: Draft,
  targets: PointTargets,
  through: readonly Through[],
  options: SettleOptions,
): void {
  const { leads, xy: x } = draft;
  const start = x.slice();
  const { nx, ny } = normals(draft);
  const { weight, offsetMm } = targets;
  const along = options.alongWeight ?? 0;
  const stretches = new LeadElimination(draft);
  const ends = new SettlingEnds(draft);
  const springs = through.map(({ a, node, b }) => ends.springOf(a, node, b));
  const bends = new Float64Array(x.length / 2).fill(options.stiffness);
  const stiff = new Float64Array(through.length).fill(options.stiffness);
  const r = new Float64Array(x.length);
  const firstPoint = (l: number): number => leads[l]!.first;
  for (let round = 0; round < options.rounds; round++) {
    if (round > 0) soften(draft, through, options, bends, stiff);
    stretches.reset();
    // what pulls each point from where it is
    r.fill(0);
    for (let i = 0; i < r.length; i++) r[i] = ANCHOR * (start[i]! - x[i]!);
    leads.forEach((lead, l) => {
      for (let k = 1; k <= lead.count; k++) {
        const m = lead.first + k - 1;
        const w = weight[m]!;
        const u = nx[m]!;
        const v = ny[m]!;
        stretches.addPoint(
          l,
          k,
          w * u * u + along * v * v + ANCHOR,
          (w - along) * u * v,
          w * v * v + along * u * u + ANCHOR,
        );
        stretches.addBend(l, k, bends[m]!);
        const dx = start[2 * m]! - x[2 * m]!;
        const dy = start[2 * m + 1]! - x[2 * m + 1]!;
        const across = w * (u * dx + v * dy + offsetMm[m]!);
        const ahead = along * (u * dy - v * dx);
        r[2 * m]! += across * u - ahead * v;
        r[2 * m + 1]! += across * v + ahead * u;
        pull(r, x, pointOf(lead, k - 1), m, pointOf(lead, k + 1), bends[m]!);
      }
    });
    through.forEach(({ a, node, b }, k) => {
      pull(r, x, a, node, b, stiff[k]!);
    });
    const own = new Float64Array(SIDE * leads.length);
    stretches.eliminate(r, firstPoint, own);
    const moved = ends.solve(stretches.own, springs, stiff, ANCHOR, ends.gather(draft, r, own));
    ends.scatter(draft, moved, x, own);
    stretches.substitute(x, firstPoint, own);
  }
}

/** Takes off what the second difference at m pulls its three points with. */
function pull(
  r: Float64Array,
  x: Float64Array,
  a: number,
  m: number,
  b: number,
  stiffness: number,
): void {
  for (let c = 0; c < 2; c++) {
    const d = stiffness * (x[2 * a + c]! - 2 * x[2 * m + c]! + x[2 * b + c]!);
    r[2 * a + c]! -= d;
    r[2 * m + c]! += 2 * d;
    r[2 * b + c]! -= d;
  }
}

/** The stiffness of each bend by how sharp it is. */
function soften(
  draft: Draft,
  through: readonly Through[],
  { stiffness, cornerMm }: SettleOptions,
  bends: Float64Array,
  stiff: Float64Array,
): void {
  const { xy: x } = draft;
  const softened = (a: number, m: number, b: number): number => {
    const d = Math.hypot(
      x[2 * a]! - 2 * x[2 * m]! + x[2 * b]!,
      x[2 * a + 1]! - 2 * x[2 * m + 1]! + x[2 * b + 1]!,
    );
    return stiffness / (1 + (d / cornerMm) ** 2);
  };
  for (const lead of draft.leads) {
    for (let k = 1; k <= lead.count; k++) {
      const m = pointOf(lead, k);
      bends[m] = softened(pointOf(lead, k - 1), m, pointOf(lead, k + 1));
    }
  }
  through.forEach(({ a, node, b }, k) => {
    stiff[k] = softened(a, node, b);
  });
}

/** Unit normals at every point, to the left of travel with y down turned so that (nx, ny) = (ty, -tx); zero at nodes. */
export function normals(draft: Draft): { nx: Float64Array; ny: Float64Array } {
  const n = draft.xy.length / 2;
  const nx = new Float64Array(n);
  const ny = new Float64Array(n);
  for (const lead of draft.leads) {
    for (let k = 1; k <= lead.count; k++) {
      const a = pointOf(lead, k - 1);
      const b = pointOf(lead, k + 1);
      const m = pointOf(lead, k);
      const dx = draft.xy[2 * b]! - draft.xy[2 * a]!;
      const dy = draft.xy[2 * b + 1]! - draft.xy[2 * a + 1]!;
      const length = Math.max(1e-9, Math.hypot(dx, dy));
      nx[m] = dy / length;
      ny[m] = -dx / length;
    }
  }
  return { nx, ny };
}
