/** A bar across one or several openings under the push of the wind: how far it bends, how hard it is strained. */
import { type BarSection, sectionFigures } from './bar-section.js';
import { type MaterialKey, materialOf } from './materials.js';
import { needPositive, StructureError } from './structure-error.js';

export type BarEnds =
  /** lies in its holes and may turn there */
  | 'resting'
  /** leaded or set in deep enough not to turn */
  | 'held';

export interface LoadedBar {
  readonly section: BarSection;
  readonly material: MaterialKey;
  /** Free lengths from stone to stone or over mullions on which the bar goes on, one or more. */
  readonly spansMm: readonly number[];
  readonly ends: BarEnds;
  readonly loadNPerMm: number;
}

export interface SpanFigures {
  readonly spanMm: number;
  readonly deflectionMm: number;
  readonly spanOverDeflection: number;
  /** Largest bending moment within the span or at its ends, without sign. */
  readonly momentNmm: number;
  readonly stressMPa: number;
}

export interface BarFigures {
  readonly spans: readonly SpanFigures[];
  /** What each support carries, ends included. */
  readonly reactionsN: readonly number[];
}

const STEPS = 400;

/**
 * Slender bar of one section under an even load, small deflections, supports that do not give.
 *
 * Moments over the supports by the equation of three moments; within each span the even load and the
 * moments of its ends are laid over each other. One span gives the textbook's `5 w L⁴ / 384 E I`
 * (resting) and `w L⁴ / 384 E I` (held).
 * Source: Clapeyron's equation and the elastic line of a beam, as in any handbook of engineering.
 *
 * @throws StructureError `bad-size`, `bad-span`, `bad-load`
 */
export function barUnderLoad({
  section,
  material,
  spansMm,
  ends,
  loadNPerMm,
}: LoadedBar): BarFigures {
  if (spansMm.length === 0) {
    throw new StructureError('bad-span', 'give at least one free length', 'spansMm');
  }
  for (const span of spansMm) needPositive(span, 'spansMm', 'bad-span');
  needPositive(loadNPerMm, 'loadNPerMm', 'bad-load');
  const { secondMomentMm4, farthestMm } = sectionFigures(section);
  const stiffness = materialOf(material).youngGPa.used * 1000 * secondMomentMm4;
  const moments = supportMoments(spansMm, ends, loadNPerMm);
  const reactions = new Array<number>(spansMm.length + 1).fill(0);
  const spans = spansMm.map((spanMm, i): SpanFigures => {
    const [left, right] = [moments[i]!, moments[i + 1]!];
    const tilt = (right - left) / spanMm;
    reactions[i]! += (loadNPerMm * spanMm) / 2 + tilt;
    reactions[i + 1]! += (loadNPerMm * spanMm) / 2 - tilt;
    let deflectionMm = 0;
    let momentNmm = Math.max(Math.abs(left), Math.abs(right));
    for (let step = 1; step < STEPS; step++) {
      const x = (spanMm * step) / STEPS;
      const rest = spanMm - x;
      const bend =
        (loadNPerMm * x * (spanMm ** 3 - 2 * spanMm * x ** 2 + x ** 3)) / 24 +
        (left * x * rest * (spanMm + rest) + right * x * rest * (spanMm + x)) / (6 * spanMm);
      deflectionMm = Math.max(deflectionMm, Math.abs(bend) / stiffness);
      const moment = (loadNPerMm * x * rest) / 2 + (left * rest + right * x) / spanMm;
      momentNmm = Math.max(momentNmm, Math.abs(moment));
    }
    return {
      spanMm,
      deflectionMm,
      spanOverDeflection: spanMm / deflectionMm,
      momentNmm,
      stressMPa: (momentNmm * farthestMm) / secondMomentMm4,
    };
  });
  return { spans, reactionsN: reactions };
}

/** Moments over the supports, N·mm, sagging positive; zero where an end rests. */
function supportMoments(spans: readonly number[], ends: BarEnds, load: number): number[] {
  const n = spans.length + 1;
  const isFree = (i: number) => ends === 'resting' && (i === 0 || i === n - 1);
  // Beyond an end there is no span; a resting end says of itself that its moment is zero.
  const before = (i: number) => spans[i - 1] ?? 0;
  const after = (i: number) => spans[i] ?? 0;
  const lower = (i: number) => (isFree(i) ? 0 : before(i));
  const upper = (i: number) => (isFree(i) ? 0 : after(i));
  const diagonal: number[] = [];
  const right: number[] = [];
  // One sweep down, one up: each equation names a support and its neighbours only (Thomas).
  for (let i = 0; i < n; i++) {
    const factor = i === 0 ? 0 : lower(i) / diagonal[i - 1]!;
    const own = isFree(i) ? 1 : 2 * (before(i) + after(i));
    const loaded = isFree(i) ? 0 : (-load * (before(i) ** 3 + after(i) ** 3)) / 4;
    diagonal.push(i === 0 ? own : own - factor * upper(i - 1));
    right.push(i === 0 ? loaded : loaded - factor * right[i - 1]!);
  }
  const moments = new Array<number>(n).fill(0);
  for (let i = n - 1; i >= 0; i--) {
    moments[i] = (right[i]! - upper(i) * (moments[i + 1] ?? 0)) / diagonal[i]!;
  }
  return moments;
}

/**
 * Smallest round bar, one span, resting, that bends no more than `spanMm / limit`.
 *
 * Source: `5 w L⁴ / 384 E I ≤ L / limit` solved for d.
 */
export function roundBarForLimitMm(
  { material, spanMm, loadNPerMm }: { material: MaterialKey; spanMm: number; loadNPerMm: number },
  limit: number,
): number {
  needPositive(spanMm, 'spanMm', 'bad-span');
  needPositive(loadNPerMm, 'loadNPerMm', 'bad-load');
  needPositive(limit, 'limit', 'bad-size');
  const young = materialOf(material).youngGPa.used * 1000;
  const secondMoment = (5 * loadNPerMm * spanMm ** 3 * limit) / (384 * young);
  return ((64 * secondMoment) / Math.PI) ** (1 / 4);
}
