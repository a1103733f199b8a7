/** Curves for all leads of a drawing, smooth where a lead runs through a joint. */
import type { CurvePart, XyMm } from '../net.js';
import { directionOfPart, unit } from './curve-parts.js';
import { endDirection, reversed } from './end-direction.js';
import { CURVE_TOLERANCE_MM, fitCurve, fitPoints } from './fit-curve.js';
import { fitArc, fitLine, SMOOTH_DEG } from './fit-part.js';

/**
 * A lead that turns by less at a joint runs through it and is one smooth curve there. A came is
 * pushed round a gentle turn in one piece, a sharper one is a kink that the hand made; where the
 * line is drawn is ours, no source.
 */
export const RUNS_THROUGH_DEG = 12;

const SMOOTH_COS = Math.cos((SMOOTH_DEG * Math.PI) / 180);

export interface LeadLine {
  readonly from: number;
  readonly to: number;
  readonly kind: string;
  readonly lineMm: readonly XyMm[];
}

interface End {
  readonly lead: number;
  readonly isStart: boolean;
  /** Away from the joint. */
  readonly direction: XyMm;
  /** The whole lead is one line or one arc, whose direction this is: the other side follows it. */
  readonly isFirm: boolean;
}

/**
 * @param leads `from` and `to` are joints 0 … jointCount - 1
 * @returns parts of each lead, from its line's first point on
 */
export function leadCurves(leads: readonly LeadLine[], jointCount: number): CurvePart[][] {
  const ends: End[][] = Array.from({ length: jointCount }, () => []);
  const lines = leads.map(({ lineMm }) => fitPoints(lineMm));
  leads.forEach(({ from, to }, lead) => {
    const [start, end, isFirm] = endsOf(lines[lead]!);
    ends[from]!.push({ lead, isStart: true, direction: start, isFirm });
    ends[to]!.push({ lead, isStart: false, direction: reversed(end), isFirm });
  });
  const start: (XyMm | null)[] = leads.map(() => null);
  const end: (XyMm | null)[] = leads.map(() => null);
  for (const meeting of ends) {
    for (const [a, b] of throughPairs(meeting, leads)) {
      const shared = sharedDirection(a, b);
      if (shared === null) continue;
      for (const [one, away] of [
        [a, shared],
        [b, reversed(shared)],
      ] as const) {
        if (one.isStart) start[one.lead] = away;
        else end[one.lead] = reversed(away);
      }
    }
  }
  return lines.map((line, i) =>
    fitCurve(line, CURVE_TOLERANCE_MM, { startDirection: start[i]!, endDirection: end[i]! }),
  );
}

/** Directions of travel at the start and the end of a line, and whether one line or arc has both. */
function endsOf(points: readonly XyMm[]): [start: XyMm, end: XyMm, isFirm: boolean] {
  const last = points.length - 1;
  const whole = { points, first: 0, last, startDirection: null, endDirection: null };
  const firm = fitLine(whole, CURVE_TOLERANCE_MM) ?? fitArc(whole, CURVE_TOLERANCE_MM);
  if (firm !== null) {
    const { part } = firm;
    return [
      directionOfPart(points[0]!, part, 'start'),
      directionOfPart(points[0]!, part, 'end'),
      true,
    ];
  }
  return [endDirection(points, 0, 1, last), reversed(endDirection(points, last, -1, 0)), false];
}

/** The direction away from the joint along `a` that both sides take; null: they agree already. */
function sharedDirection(a: End, b: End): XyMm | null {
  const [bx, by] = reversed(b.direction);
  const [ax, ay] = a.direction;
  if (a.isFirm && b.isFirm && ax * bx + ay * by >= SMOOTH_COS) return null;
  if (a.isFirm !== b.isFirm) return a.isFirm ? a.direction : [bx, by];
  return unit([ax + bx, ay + by]);
}

/** Ends that go straight on into each other, the straightest first, each in one pair. */
function throughPairs(ends: readonly End[], leads: readonly LeadLine[]): [End, End][] {
  if (ends.length < 2) return [];
  const limit = -Math.cos((RUNS_THROUGH_DEG * Math.PI) / 180);
  const pairs: { a: End; b: End; cosine: number }[] = [];
  for (let i = 0; i < ends.length; i++) {
    for (let j = i + 1; j < ends.length; j++) {
      const a = ends[i]!;
      const b = ends[j]!;
      const cosine = a.direction[0] * b.direction[0] + a.direction[1] * b.direction[1];
      if (cosine <= limit && leads[a.lead]!.kind === leads[b.lead]!.kind) {
        pairs.push({ a, b, cosine });
      }
    }
  }
  pairs.sort((p, q) => p.cosine - q.cosine);
  const used = new Set<End>();
  return pairs.flatMap(({ a, b }): [End, End][] => {
    if (used.has(a) || used.has(b)) return [];
    used.add(a).add(b);
    return [[a, b]];
  });
}
