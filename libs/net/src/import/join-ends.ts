/** Closes gaps: ends and corners that lie near each other, or near a line, are brought together. */
import Flatbush from 'flatbush';
import type { XyMm } from '../net.js';
import { distanceMm } from '../ring.js';
import { segmentIndex } from '../segment-index.js';
import type { CartoonRepair } from './cartoon.js';
import type { RawLine } from './raw-line.js';
import { HERE } from './say-place.js';

/** Closer than this was meant to be the same place: moved without a word. */
export const SAME_MM = 0.01;
/** A vertex that turns more than this is a corner that a person drew, no chord of a curve. */
const CORNER_RAD = (20 * Math.PI) / 180;

interface Anchor {
  readonly line: number;
  readonly at: number;
  readonly isEnd: boolean;
}

/** Lines with their ends and corners moved by no more than the tolerance. */
export function joinEnds(
  lines: readonly RawLine[],
  toleranceMm: number,
  repairs: CartoonRepair[],
): RawLine[] {
  const moved = lines.map((line) => ({ ...line, pointsMm: [...line.pointsMm] }));
  const anchors = lines.flatMap((line, i) => anchorsOf(line, i));
  if (anchors.length === 0) return moved;
  const placeOf = ({ line, at }: Anchor): XyMm => moved[line]!.pointsMm[at]!;
  const groups = grouped(anchors, placeOf, toleranceMm);
  for (const group of groups) {
    const places = group.map(placeOf);
    const centre = middleOf(places);
    const apartMm = Math.max(
      ...places.map((a) => Math.max(...places.map((b) => distanceMm(a, b)))),
    );
    if (apartMm > SAME_MM && group.some(({ isEnd }) => isEnd)) {
      repairs.push({
        kind: 'gap-closed',
        sentence: `${group.length} ends lay ${mm(apartMm)} apart ${HERE}: joined.`,
        xyMm: centre,
      });
    }
    for (const { line, at } of group) moved[line]!.pointsMm[at] = centre;
  }
  reachLines(moved, groups, toleranceMm, repairs);
  return moved;
}

function anchorsOf({ pointsMm, isClosed }: RawLine, line: number): Anchor[] {
  const n = pointsMm.length;
  return pointsMm.flatMap((point, at): Anchor[] => {
    if (!isClosed && (at === 0 || at === n - 1)) return [{ line, at, isEnd: true }];
    const before = pointsMm[(at + n - 1) % n]!;
    const after = pointsMm[(at + 1) % n]!;
    const turn = Math.abs(
      Math.atan2(point[1] - before[1], point[0] - before[0]) -
        Math.atan2(after[1] - point[1], after[0] - point[0]),
    );
    return Math.min(turn, 2 * Math.PI - turn) > CORNER_RAD ? [{ line, at, isEnd: false }] : [];
  });
}

/** Nearest pairs first; a group never grows wider than twice the tolerance. */
function grouped(
  anchors: readonly Anchor[],
  placeOf: (anchor: Anchor) => XyMm,
  toleranceMm: number,
): Anchor[][] {
  const index = new Flatbush(anchors.length);
  for (const anchor of anchors) {
    const [x, y] = placeOf(anchor);
    index.add(x, y, x, y);
  }
  index.finish();
  const pairs: { a: number; b: number; mm: number }[] = [];
  anchors.forEach((anchor, a) => {
    const [x, y] = placeOf(anchor);
    for (const b of index.search(
      x - toleranceMm,
      y - toleranceMm,
      x + toleranceMm,
      y + toleranceMm,
    )) {
      if (b <= a) continue;
      const apart = distanceMm([x, y], placeOf(anchors[b]!));
      // Corners alone keep their places unless they were meant to be one: a step of the outline is drawn so.
      const limit =
        anchor.isEnd || anchors[b]!.isEnd || anchor.line !== anchors[b]!.line
          ? toleranceMm
          : SAME_MM;
      if (apart <= limit) pairs.push({ a, b, mm: apart });
    }
  });
  pairs.sort((p, q) => p.mm - q.mm || p.a - q.a || p.b - q.b);
  const groupOf = anchors.map((_, i) => [i]);
  for (const { a, b } of pairs) {
    const [one, other] = [groupOf[a]!, groupOf[b]!];
    if (one === other) continue;
    const all = [...one, ...other];
    const centre = middleOf(all.map((i) => placeOf(anchors[i]!)));
    if (all.some((i) => distanceMm(placeOf(anchors[i]!), centre) > toleranceMm)) continue;
    for (const i of all) groupOf[i] = all;
  }
  return [...new Set(groupOf)].map((group) => group.map((i) => anchors[i]!));
}

/** Ends that stop short of a line, or run a little past it, are put onto it. */
function reachLines(
  lines: { pointsMm: XyMm[]; isClosed: boolean }[],
  groups: readonly Anchor[][],
  toleranceMm: number,
  repairs: CartoonRepair[],
): void {
  const segments = lines.flatMap(({ pointsMm, isClosed }, line) =>
    pointsMm.flatMap((from, at) => {
      const next = at + 1 < pointsMm.length ? at + 1 : isClosed ? 0 : -1;
      return next < 0 ? [] : [{ line, at, next, from, to: pointsMm[next]! }];
    }),
  );
  const index = segmentIndex(segments);
  for (const group of groups) {
    // where several ends meet already, only a line that none of them belongs to is reached for
    const own = new Set(group.map(({ line }) => line));
    const place = lines[group[0]!.line]!.pointsMm[group[0]!.at]!;
    const [x, y] = place;
    let best: { foot: XyMm; mm: number } | null = null;
    for (const i of index.search(
      x - toleranceMm,
      y - toleranceMm,
      x + toleranceMm,
      y + toleranceMm,
    )) {
      const { line, from, to } = segments[i]!;
      if (own.has(line)) continue;
      const foot = footOn(place, from, to);
      const off = distanceMm(place, foot);
      if (off <= toleranceMm && (best === null || off < best.mm)) best = { foot, mm: off };
    }
    if (best === null || best.mm === 0) continue;
    for (const { line, at } of group) lines[line]!.pointsMm[at] = best.foot;
    if (best.mm > SAME_MM && group.some(({ isEnd }) => isEnd)) {
      repairs.push({
        kind: 'gap-closed',
        sentence: `A line ended ${mm(best.mm)} from another ${HERE}: put onto it.`,
        xyMm: best.foot,
      });
    }
  }
}

function footOn([px, py]: XyMm, a: XyMm, b: XyMm): XyMm {
  const ux = b[0] - a[0];
  const uy = b[1] - a[1];
  const length2 = ux * ux + uy * uy;
  if (length2 === 0) return a;
  const t = Math.min(1, Math.max(0, ((px - a[0]) * ux + (py - a[1]) * uy) / length2));
  return [a[0] + t * ux, a[1] + t * uy];
}

function middleOf(places: readonly XyMm[]): XyMm {
  const sum = places.reduce<[number, number]>(([x, y], p) => [x + p[0], y + p[1]], [0, 0]);
  return [sum[0] / places.length, sum[1] / places.length];
}

function mm(value: number): string {
  return `${value < 0.1 ? value.toFixed(2) : value.toFixed(1)} mm`;
}
