/** Tests of marks and distances against each other: which one is wrong, by how much. */
import { slip } from './least-squares.js';
import type { MarkBundle, PictureKind } from './mark-bundle.js';
import { roughScale, saySpare, spareMeasurements } from './mark-geometry.js';
import { distanceName, type MarkPlan } from './mark-plan.js';
import { RubbingError } from './rubbing-error.js';

/** A reading that fits this nearly as badly as the worst cannot be told from it. */
const ALIKE = 0.85;

interface Suspect {
  readonly name: string;
  readonly isMark: boolean;
  readonly ratio: number;
  readonly sizeMm: number;
}

/** Readings by how badly they fit the others, worst first. */
function suspects(plan: MarkPlan, bundle: MarkBundle): Suspect[] {
  const scale = roughScale(plan, bundle.flatPx);
  const marks = plan.names.map((name, k): Suspect => {
    const s = slip(bundle.adjustment, bundle.markRows[k]!);
    const unitMm = plan.placesMm ? plan.sigmaMm : bundle.sigmaPx[k]! / scale;
    return { name, isMark: true, ratio: s.ratio, sizeMm: s.size * unitMm };
  });
  const distances = plan.distances.map((d, i): Suspect => {
    const s = slip(bundle.adjustment, [bundle.distanceRows[i]!]);
    return {
      name: distanceName(plan, d),
      isMark: false,
      ratio: s.ratio,
      sizeMm: s.size * plan.sigmaMm,
    };
  });
  return [...marks, ...distances].sort((a, b) => b.ratio - a.ratio);
}

/** @throws RubbingError 'marks-disagree' that names the reading that is off, or says that it cannot be told which */
export function refuseSlips(plan: MarkPlan, bundle: MarkBundle, picture: PictureKind): void {
  const all = suspects(plan, bundle);
  const worst = all[0]!;
  if (worst.ratio <= 1) return;
  const alike = all.filter((s) => s.ratio > ALIKE * worst.ratio);
  const off = `${worst.sizeMm.toFixed(1)} mm`;
  if (alike.length === 1 && worst.isMark) {
    throw new RubbingError(
      'marks-disagree',
      `Mark ${worst.name} is ${off} from where the others put it: check its tap and its measured place.`,
      { mark: worst.name, residualMm: worst.sizeMm },
    );
  }
  if (alike.length === 1) {
    throw new RubbingError(
      'marks-disagree',
      `The distances do not close: ${worst.name} is off by ${off} by the others. Measure ${worst.name} again, and check the taps at its ends.`,
      { distance: worst.name, residualMm: worst.sizeMm },
    );
  }
  if (alike.length <= 3 && plan.distances.length > 0) {
    const either = alike.map((s) => (s.isMark ? `mark ${s.name}` : s.name)).join(' or ');
    throw new RubbingError(
      'marks-disagree',
      `The distances do not close: ${either} is off by about ${off}. Check the tap, and measure again.`,
      { among: alike.map((s) => s.name).join(', '), residualMm: worst.sizeMm },
    );
  }
  const misfit = worstDistance(plan, bundle);
  throw new RubbingError(
    'marks-disagree',
    misfit
      ? `The distances do not close: one of them is wrong by several millimetres, and with ${saySpare(spareMeasurements(plan, picture, false))} it cannot be told which; ${misfit.name} is off by ${misfit.mm.toFixed(1)} mm as they stand. Measure all again, or add a distance to a fifth mark.`
      : `The marks disagree: one of ${alike.map((s) => s.name).join(', ')} is off by about ${off}. Check their taps and measured places.`,
    {
      among: alike.map((s) => s.name).join(', '),
      ...(misfit && { distance: misfit.name, residualMm: misfit.mm }),
    },
  );
}

function worstDistance(
  plan: MarkPlan,
  bundle: MarkBundle,
): { name: string; mm: number } | undefined {
  let worst: { name: string; mm: number } | undefined;
  plan.distances.forEach((d, i) => {
    const mm = Math.abs(bundle.adjustment.residuals[bundle.distanceRows[i]!]!) * plan.sigmaMm;
    if (!worst || mm > worst.mm) worst = { name: distanceName(plan, d), mm };
  });
  return worst;
}

/** The largest slip over its limit; above 1 the readings contradict each other. */
export function worstSlip(plan: MarkPlan, bundle: MarkBundle): number {
  return suspects(plan, bundle)[0]!.ratio;
}
