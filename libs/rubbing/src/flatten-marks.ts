/** Flattening by marks that a person drew, tapped and measured. */
import { isPlausible, likelyOrder, sayOrder, type View, viewOf } from './camera-view.js';
import { type FoundMarks, findMarks } from './find-marks.js';
import type { Flattening } from './flattening.js';
import type { GreyImage } from './grey-image.js';
import {
  calibrationSource,
  type LensSource,
  outerCameSource,
  outerQuad,
  paperEdgeSource,
  UNKNOWN_LENS,
} from './lens-sources.js';
import { bundleMarks, type MarkBundle, type PictureKind } from './mark-bundle.js';
import { refuseCollinear, refuseUnusable } from './mark-checks.js';
import { roughScale } from './mark-geometry.js';
import { type MarkControl, type MarkPlan, markPlan } from './mark-plan.js';
import { type FittedMarks, flatteningOf } from './mark-report.js';
import { refuseSlips, worstSlip } from './mark-slips.js';
import { RubbingError } from './rubbing-error.js';
import type { RubbingSheet } from './sheet.js';

/** A scanner keeps the resolution it states within a few parts in a thousand; a photograph's is an empty field. */
const DPI_AGREES = 0.03;
/** Two taps may lead to neighbouring pixels; from either the same place is found to a hundredth, hence the second time. */
const ROUNDS_FROM_PIXELS = 2;

/** @throws RubbingError when the marks cannot carry a flattening; the sentence says which and why */
export function flattenMarks(
  sheet: RubbingSheet,
  control: MarkControl,
  grey: GreyImage,
): Flattening {
  const { image } = sheet;
  const plan = markPlan(control);
  const n = plan.names.length;
  if (sheet.taps.length < n) {
    throw new RubbingError(
      'marks-too-few',
      `Tap all ${n} marks on the picture; ${sheet.taps.length} came.`,
      { taps: sheet.taps.length, wanted: n },
    );
  }
  const taps = Float64Array.from(sheet.taps.slice(0, n).flat());
  refuseUnusable(taps, plan.names, image);
  if (plan.placesMm) refuseCollinear(plan.placesMm, plan.names);
  const picture = pictureKind(sheet, plan, taps);
  refuseWrongOrder(sheet, plan, taps, picture);

  const find = (near: Float64Array): FoundMarks =>
    findMarks(grey, control, plan.names, near, roughScale(plan, near));
  let found = find(taps);
  // found again from the whole pixels where they are, so that nothing of the taps is left in them
  for (let round = 0; round < ROUNDS_FROM_PIXELS; round++) {
    const { px, figures } = found;
    found = find(px.map((v, i) => (figures[i >> 1] === 'tap' ? v : Math.round(v))));
  }
  const k2 = image.lens?.k2 ?? 0;
  const sources = lensSources(sheet, found.px, picture, k2);
  const fitted = fit(sheet, plan, found, picture, sources, k2);
  refuseSlips(plan, fitted.bundle, picture);
  const view = viewOf(fitted.bundle.imageFromPanel, fitted.bundle.xyMm, image);
  if (!isPlausible(view)) throw implausible(view.stretch);
  return flatteningOf(sheet, plan, found, picture, fitted);
}

function pictureKind(sheet: RubbingSheet, plan: MarkPlan, taps: Float64Array): PictureKind {
  const { dpi } = sheet.image;
  if (dpi !== undefined) {
    const pxPerMm = dpi / 25.4;
    if (Math.abs(roughScale(plan, taps) / pxPerMm - 1) < DPI_AGREES)
      return { kind: 'scan', pxPerMm };
  }
  return { kind: plan.parallelogramMm === undefined ? 'photograph' : 'square-on' };
}

function lensSources(
  sheet: RubbingSheet,
  px: Float64Array,
  picture: PictureKind,
  k2: number,
): LensSource[] {
  if (picture.kind === 'scan') return [{ k1: 0, sigma: 1e-7, said: 'a flat scan' }];
  const quad = outerQuad(px);
  const edges = quad && paperEdgeSource(sheet.image, quad, k2);
  const calibration = calibrationSource(sheet.image);
  const cames = quad && !edges && !calibration ? outerCameSource(sheet.image, quad, k2) : undefined;
  return [edges, calibration, cames, UNKNOWN_LENS].filter((s) => s !== undefined);
}

function fit(
  sheet: RubbingSheet,
  plan: MarkPlan,
  found: FoundMarks,
  picture: PictureKind,
  sources: readonly LensSource[],
  k2: number,
): FittedMarks {
  const run = (priors: readonly LensSource[], usedK2: number): MarkBundle =>
    bundleMarks(plan, sheet.image, found.px, found.sigmaPx, picture, priors, usedK2);
  const bundle = run(sources, k2);
  if (picture.kind === 'scan') return { bundle, lensFrom: null, isLensFromMarks: false };
  const known = sources.reduce((s, one) => s + one.sigma ** -2, 0);
  const fromMarks = bundle.sigmaK1 ** -2 - known;
  const best = sources.reduce((a, b) => (b.sigma < a.sigma ? b : a));
  if (fromMarks > best.sigma ** -2) {
    return { bundle, lensFrom: `the ${plan.names.length} marks`, isLensFromMarks: true };
  }
  if (best !== UNKNOWN_LENS) return { bundle, lensFrom: best.said, isLensFromMarks: false };
  const without = run([{ k1: 0, sigma: 1e-7, said: '' }], 0);
  return { bundle: without, lensFrom: null, isLensFromMarks: false };
}

/** @throws RubbingError 'marks-disagree' that says which order would fit */
function refuseWrongOrder(
  sheet: RubbingSheet,
  plan: MarkPlan,
  taps: Float64Array,
  picture: PictureKind,
): void {
  const n = plan.names.length;
  const sigma = new Float64Array(n).fill(4 * Math.max(1, 0.3 * roughScale(plan, taps)));
  const viewAs = (order: readonly number[]): View | undefined => {
    const px = new Float64Array(2 * n);
    order.forEach((from, k) => {
      px.set(taps.subarray(2 * from, 2 * from + 2), 2 * k);
    });
    try {
      const b = bundleMarks(plan, sheet.image, px, sigma, picture, [UNKNOWN_LENS], 0);
      if (worstSlip(plan, b) > 1.5) return undefined;
      return viewOf(b.imageFromPanel, b.xyMm, sheet.image);
    } catch {
      return undefined; // a singular system: the marks cannot lie so
    }
  };
  const asTapped = viewAs(plan.names.map((_, k) => k));
  if (asTapped && isPlausible(asTapped)) return;
  const order = likelyOrder(n, viewAs);
  if (order) {
    const said = sayOrder(plan.names, order);
    throw new RubbingError(
      'marks-disagree',
      `The marks do not fit as they were tapped: ${said}. Tap them again in the order ${plan.names.join(', ')}.`,
      { order: order.map((k) => plan.names[k]!).join(', '), said },
    );
  }
}

function implausible(stretch: number): RubbingError {
  const how = Number.isFinite(stretch)
    ? `a square would stand ${stretch.toFixed(2)} to 1`
    : 'the sheet would be seen from behind';
  return new RubbingError(
    'marks-disagree',
    `The marks do not fit a photograph of a flat sheet (${how}): check that they were tapped in their order, and their measured places.`,
    Number.isFinite(stretch) ? { stretch } : {},
  );
}
