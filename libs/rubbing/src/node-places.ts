import { type Draft, type DraftLead, draftOf, lineOf } from './draft.js';
import { type LeadEnd, meetingPoint, tangentAt } from './junction-ends.js';
import { isWithin, type Place } from './junctions.js';

/** Moves below this are left to settling. */
const MIN_SHIFT_MM = 0.7;
const MAX_SHIFT_MM = 22;
const MAX_MISS_MM = 2;
const THROUGH_RAD = 0.42;

/**
 * Moves nodes to where their leads meet. Settling cannot slide a branch along the lead it ends at; where they meet at
 * a small angle the first trace is off by a centimetre, because the glass between them ends there.
 *
 * The two leads that run through are cut anew at the meeting place; the others are drawn to it from where they are free.
 */
export function moveNodes(
  draft: Draft,
  ends: readonly (readonly LeadEnd[])[],
  untouchable: readonly Place[],
): Draft {
  const lines = draft.leads.map((lead) => lineOf(draft, lead));
  const index = new Map(draft.leads.map((lead, i) => [lead, i]));
  const xy = draft.xy.slice(0, 2 * draft.nodeCount);
  const moved: number[] = [];
  ends.forEach((list, node) => {
    if (list.length < 3) return;
    const x0 = xy[2 * node]!;
    const y0 = xy[2 * node + 1]!;
    if (isWithin(untouchable, x0, y0)) return;
    const meet = meetingPoint(list, x0, y0);
    const shift = Math.hypot(meet.x - x0, meet.y - y0);
    if (shift < MIN_SHIFT_MM || shift > MAX_SHIFT_MM || meet.worstMm > MAX_MISS_MM) return;
    const lengths = list.map((end) => polyLength(lines[index.get(end.lead)!]!));
    const pair = straightestPair(list, x0, y0);
    if (!list.every((end, i) => pair?.includes(i) || shift < 1.2 * end.lengthMm)) return;
    let x = meet.x;
    let y = meet.y;
    if (pair) {
      const a = awayFrom(lines[index.get(list[pair[0]]!.lead)!]!, list[pair[0]]!);
      const b = awayFrom(lines[index.get(list[pair[1]]!.lead)!]!, list[pair[1]]!);
      const cut = recut(a, b, x, y);
      if (!cut) return;
      store(lines, index, list[pair[0]]!, cut.a);
      store(lines, index, list[pair[1]]!, cut.b);
      x = cut.a[0]!;
      y = cut.a[1]!;
    }
    list.forEach((end, i) => {
      if (pair?.includes(i)) return;
      const line = awayFrom(lines[index.get(end.lead)!]!, end);
      const keep = Math.min(Math.max(end.zoneMm, 1), 0.6 * lengths[i]!);
      let s = 0;
      let k = 1;
      while (k < line.length / 2 - 1) {
        s += Math.hypot(line[2 * k]! - line[2 * k - 2]!, line[2 * k + 1]! - line[2 * k - 1]!);
        if (s >= keep) break;
        k++;
      }
      store(lines, index, end, Float64Array.from([x, y, ...line.subarray(2 * k)]));
    });
    xy[2 * node] = x;
    xy[2 * node + 1] = y;
    moved.push(node);
  });
  if (moved.length === 0) return draft;
  return draftOf(
    xy,
    draft.leads.map((lead, i) => ({ ...lead, line: lines[i]! })),
  );
}

function straightestPair(
  list: readonly LeadEnd[],
  x: number,
  y: number,
): [number, number] | undefined {
  const tangents = list.map((end) => tangentAt(end, x, y));
  let best: [number, number] | undefined;
  let least = THROUGH_RAD;
  for (let i = 0; i < list.length; i++) {
    for (let j = 0; j < i; j++) {
      const cos = -(tangents[i]!.dx * tangents[j]!.dx + tangents[i]!.dy * tangents[j]!.dy);
      const turn = Math.acos(Math.max(-1, Math.min(1, cos)));
      if (turn < least) {
        least = turn;
        best = [i, j];
      }
    }
  }
  return best;
}

/** The line from the node outwards. */
function awayFrom(line: Float64Array, end: LeadEnd): Float64Array {
  if (end.atFrom) return line.slice();
  const n = line.length / 2;
  const out = new Float64Array(line.length);
  for (let k = 0; k < n; k++) {
    out[2 * k] = line[2 * (n - 1 - k)]!;
    out[2 * k + 1] = line[2 * (n - 1 - k) + 1]!;
  }
  return out;
}

function store(
  lines: Float64Array[],
  index: ReadonlyMap<DraftLead, number>,
  end: LeadEnd,
  away: Float64Array,
): void {
  lines[index.get(end.lead)!] = end.atFrom ? away : awayFrom(away, { ...end, atFrom: false });
}

/** Cuts the line that runs along `a` into the node and on along `b` at its place nearest to (x, y). */
function recut(
  a: Float64Array,
  b: Float64Array,
  x: number,
  y: number,
): { a: Float64Array; b: Float64Array } | undefined {
  let least = Infinity;
  let best: { line: 'a' | 'b'; k: number; x: number; y: number } | undefined;
  for (const [name, line] of [
    ['a', a],
    ['b', b],
  ] as const) {
    for (let k = 0; k + 3 < line.length; k += 2) {
      const dx = line[k + 2]! - line[k]!;
      const dy = line[k + 3]! - line[k + 1]!;
      const f = Math.max(
        0,
        Math.min(
          1,
          ((x - line[k]!) * dx + (y - line[k + 1]!) * dy) / Math.max(1e-12, dx * dx + dy * dy),
        ),
      );
      const px = line[k]! + f * dx;
      const py = line[k + 1]! + f * dy;
      const d = Math.hypot(x - px, y - py);
      if (d < least) {
        least = d;
        best = { line: name, k, x: px, y: py };
      }
    }
  }
  if (!best || least > 2.5) return undefined;
  const [cutLine, other] = best.line === 'a' ? [a, b] : [b, a];
  if (best.k + 4 >= cutLine.length) return undefined; // would use the lead up
  const kept = Float64Array.from([best.x, best.y, ...cutLine.subarray(best.k + 2)]);
  // the other lead takes over what lies between the old node and the cut, in reverse
  const taken: number[] = [best.x, best.y];
  for (let k = best.k; k >= 2; k -= 2) taken.push(cutLine[k]!, cutLine[k + 1]!);
  const longer = Float64Array.from([...taken, ...other]);
  return best.line === 'a' ? { a: kept, b: longer } : { a: longer, b: kept };
}

function polyLength(line: Float64Array): number {
  let s = 0;
  for (let k = 2; k < line.length; k += 2) {
    s += Math.hypot(line[k]! - line[k - 2]!, line[k + 1]! - line[k - 1]!);
  }
  return s;
}
