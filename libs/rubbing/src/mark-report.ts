/** The flattening out of an adjustment of marks, and what is said about it. */
import type { FlattenReport } from '#libs/net';
import type { FoundMarks } from './find-marks.js';
import type { Flattening } from './flattening.js';
import { invertHomography, project } from './homography.js';
import { distort } from './lens.js';
import { lensDoubt, midSheetMm } from './lens-report.js';
import { UNKNOWN_LENS } from './lens-sources.js';
import type { MarkBundle, PictureKind } from './mark-bundle.js';
import { meanScale, saySpare, spareMeasurements } from './mark-geometry.js';
import type { MarkPlan } from './mark-plan.js';
import type { RubbingSheet } from './sheet.js';

export interface FittedMarks {
  readonly bundle: MarkBundle;
  /** What k1 was mostly taken from; null: from nothing, so that it was left at zero. */
  readonly lensFrom: string | null;
  readonly isLensFromMarks: boolean;
}

/** Ticks stand at the panel's corner and wax runs past it; crosses stand outside the panel, and nothing beyond them matters. */
const TICKS_MARGIN_MM = 14;
const CROSS_MARGIN_MM = 6;
/** Below this a residual is noise of the arithmetic. */
const NO_RESIDUAL_MM = 0.005;

export function flatteningOf(
  sheet: RubbingSheet,
  plan: MarkPlan,
  found: FoundMarks,
  picture: PictureKind,
  { bundle, lensFrom, isLensFromMarks }: FittedMarks,
): Flattening {
  const { imageFromPanel, lens, flatPx } = bundle;
  const xyMm = plan.placesMm ?? bundle.xyMm;
  const margin = found.figures.includes('cross') ? CROSS_MARGIN_MM : TICKS_MARGIN_MM;
  const xs = xyMm.filter((_, i) => i % 2 === 0);
  const ys = xyMm.filter((_, i) => i % 2 === 1);
  const box = [Math.min(...xs), Math.min(...ys), Math.max(...xs), Math.max(...ys)] as const;
  const pixelOf = (x: number, y: number): [number, number] =>
    distort(lens, ...project(imageFromPanel, x, y));
  const spare = spareMeasurements(plan, picture, isLensFromMarks);
  const residualMm = markResiduals(plan, bundle, xyMm);
  const worst = residualMm.indexOf(Math.max(...residualMm));
  const doubt =
    picture.kind === 'scan'
      ? undefined
      : lensDoubt(
          midSheetMm(
            sheet.image,
            lens,
            lensFrom === null ? UNKNOWN_LENS.sigma : bundle.sigmaK1,
            bundle.xyMm,
            found.px,
          ),
          lensFrom,
        );
  const report: FlattenReport = {
    marks: plan.names.map((name, k) => ({
      name,
      residualMm: residualMm[k]!,
      figure: found.figures[k]!,
    })),
    rmsMm: Math.sqrt(residualMm.reduce((s, r) => s + r * r, 0) / residualMm.length),
    lens:
      lensFrom === null
        ? null
        : {
            k1: lens.k1,
            source: lensFrom,
            ...(lens.k2 !== 0 && { k2: lens.k2 }),
            sigmaK1: bundle.sigmaK1,
          },
    worstMark: residualMm[worst]! > NO_RESIDUAL_MM ? plan.names[worst]! : null,
    control: plan.said,
    ...(plan.distances.length > 0 && {
      distances: plan.distances.map((d, i) => {
        const differenceMm = bundle.adjustment.residuals[bundle.distanceRows[i]!]! * plan.sigmaMm;
        return {
          from: plan.names[d.from]!,
          to: plan.names[d.to]!,
          measuredMm: d.mm,
          fittedMm: d.mm + differenceMm,
          differenceMm,
        };
      }),
    }),
    spareMeasurements: spare,
    scale: {
      plusMinusMm: Math.max(
        bundle.lengthSigmaMm(pixelOf(box[0], box[1]), pixelOf(box[2], box[3])),
        bundle.lengthSigmaMm(pixelOf(box[2], box[1]), pixelOf(box[0], box[3])),
      ),
      overMm: Math.hypot(box[2] - box[0], box[3] - box[1]),
    },
    ...(doubt && { lensDoubt: doubt }),
    notes: notesOf(plan, found, picture, spare),
  };
  return {
    imageFromPanel,
    lens,
    extentMm: [box[0] - margin, box[1] - margin, box[2] + margin, box[3] + margin],
    imagePxPerMm: meanScale(bundle.xyMm, flatPx),
    marks: plan.names.map((name, k) => ({
      name,
      imageXyPx: [found.px[2 * k]!, found.px[2 * k + 1]!],
      panelXyMm: [xyMm[2 * k]!, xyMm[2 * k + 1]!],
    })),
    report,
  };
}

/**
 * Millimetres between where the map puts a mark and where it was measured; where only distances were, their mean misfit at
 * the mark as well.
 */
function markResiduals(
  plan: MarkPlan,
  bundle: FittedMarks['bundle'],
  xyMm: Float64Array,
): number[] {
  const panelFromImage = invertHomography(bundle.imageFromPanel);
  return plan.names.map((_, k) => {
    const [x, y] = project(panelFromImage, bundle.flatPx[2 * k]!, bundle.flatPx[2 * k + 1]!);
    const own = Math.hypot(x - xyMm[2 * k]!, y - xyMm[2 * k + 1]!);
    const at = plan.distances.flatMap((d, i) =>
      d.from === k || d.to === k
        ? [bundle.adjustment.residuals[bundle.distanceRows[i]!]! * plan.sigmaMm]
        : [],
    );
    if (at.length === 0) return own;
    return Math.hypot(own, Math.sqrt(at.reduce((s, r) => s + r * r, 0) / at.length));
  });
}

function notesOf(plan: MarkPlan, found: FoundMarks, picture: PictureKind, spare: number): string[] {
  const notes: string[] = [];
  const tapped = plan.names.filter((_, k) => found.figures[k] === 'tap');
  if (tapped.length > 0) {
    notes.push(
      `No drawn figure was found under ${tapped.length === plan.names.length ? 'the taps' : `the tap of ${tapped.join(', ')}`}: taken as tapped, to about half a millimetre.`,
    );
  }
  if (plan.parallelogramMm !== undefined && picture.kind !== 'scan') {
    notes.push(
      'Two diagonals leave the shape to the picture: the panel was taken as a parallelogram seen square-on. Measure the sides as well where it matters.',
    );
  } else if (spare === 0) {
    notes.push(
      `${plan.said[0]!.toUpperCase()}${plan.said.slice(1)} leave ${saySpare(0)}: a slip in one of them cannot be seen. Check the drawing against the panel's own size and diagonals.`,
    );
  } else if (spare === 1) {
    notes.push(
      `${plan.said[0]!.toUpperCase()}${plan.said.slice(1)} leave ${saySpare(1)}: a slip is seen, but not which measurement it is in.`,
    );
  } else {
    notes.push(`There are ${saySpare(spare)} to check by.`);
  }
  return notes;
}
