/** One picture of a rubbing, flattened and turned into wax. */
import type { Plane } from '#libs/raster';
import { flatten } from './flatten.js';
import type { Flattening } from './flattening.js';
import { greyOf } from './grey-image.js';
import { type PenTracing, penTracing } from './ink/pen-tracing.js';
import { broadShare } from './ink/stroke-width.js';
import { invert, type Tone, toneOf } from './ink/tone.js';
import { withoutLid } from './lid-corners.js';
import { type RectifiedSheet, rectify } from './rectify.js';
import { RubbingError } from './rubbing-error.js';
import type { RubbingOptions, RubbingSheet } from './sheet.js';
import { widerExtent } from './sheets/wider-extent.js';
import { paneFigures } from './suitability/pane-figures.js';
import { refuseUnsuitable, refuseWriting } from './suitability/refuse-unsuitable.js';
import { sheetFigures } from './suitability/sheet-figures.js';
import { waxDensity } from './wax-density.js';

export interface ReadSheet {
  readonly flattening: Flattening;
  /** Always dark on light. */
  readonly flat: RectifiedSheet;
  /** Wax 0-1 on the pixels of `flat`. */
  readonly density: Plane;
  readonly tone: Tone;
  /** How a tracing was read; null for a rubbing. */
  readonly tracing: Omit<PenTracing, 'density'> | null;
}

const LEAST_SIDE_PX = 200;
/** Strokes of a pen leave less than this of their ink in places broader than a pen; two tracings left 0.22 and 0.25, 25 rubbings 0.68 to 0.84. */
const PEN_BROAD_SHARE = 0.45;

/** @throws RubbingError */
export function readSheet(
  sheet: RubbingSheet,
  options: RubbingOptions = {},
  isOneOfSeveral = false,
): ReadSheet {
  const { image } = sheet;
  if (image.widthPx < LEAST_SIDE_PX || image.heightPx < LEAST_SIDE_PX) {
    throw new RubbingError(
      'image-too-small',
      `The picture is ${image.widthPx} × ${image.heightPx} pixels: a rubbing needs at least ${LEAST_SIDE_PX} each way. Upload the original, not a preview.`,
      { widthPx: image.widthPx, heightPx: image.heightPx },
    );
  }
  if (image.rgb.length !== image.widthPx * image.heightPx * 3) {
    throw new Error(
      `expected ${image.widthPx * image.heightPx * 3} bytes of RGB, got ${image.rgb.length}`,
    );
  }
  const { flattening, flat, tone } = flatSheet(sheet, options, isOneOfSeveral);
  const density = waxDensity(flat);
  refuseUnsuitable(sheetFigures(image, flattening, density, flat.pxPerMm, tone), () =>
    paneFigures(image, flattening),
  );
  if (broadShare(density, flat.pxPerMm) >= PEN_BROAD_SHARE) {
    return { flattening, flat, density, tone, tracing: null };
  }
  const pen = penTracing(density, flat.pxPerMm, options.faceWidthsInUseMm) ?? refuseWriting();
  const { lines, assumedWidthMm } = pen;
  return { flattening, flat, density: pen.density, tone, tracing: { lines, assumedWidthMm } };
}

/** In a function of its own, so that the grey original is let go before the wax is looked at. */
function flatSheet(
  sheet: RubbingSheet,
  options: RubbingOptions,
  isOneOfSeveral: boolean,
): { flattening: Flattening; flat: RectifiedSheet; tone: Tone } {
  const grey = greyOf(sheet.image);
  const tone = toneOf(grey);
  if (tone === 'light-on-dark') invert(grey);
  const isScan = sheet.control.kind === 'scale_bar' || sheet.control.kind === 'scanner';
  let flattening = flatten(sheet, grey);
  // a scan is looked at as a whole already
  if (isOneOfSeveral && !isScan) {
    flattening = { ...flattening, extentMm: widerExtent(grey, flattening) };
  }
  const flat = rectify(grey, flattening, options.faceWidthsInUseMm);
  return { flattening, flat: isScan ? withoutLid(flat) : flat, tone };
}
