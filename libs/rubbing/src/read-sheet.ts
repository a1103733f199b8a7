/** One picture of a rubbing, flattened and turned into wax. */
import type { Plane } from '#libs/raster';
import { type Flattening, flatten } from './flatten.js';
import { greyOf } from './grey-image.js';
import { type RectifiedSheet, rectify } from './rectify.js';
import { RubbingError } from './rubbing-error.js';
import type { RubbingSheet } from './sheet.js';
import { waxDensity } from './wax-density.js';

export interface ReadSheet {
  readonly flattening: Flattening;
  readonly flat: RectifiedSheet;
  /** Wax 0-1 on the pixels of `flat`. */
  readonly density: Plane;
}

const LEAST_SIDE_PX = 200;

/** @throws RubbingError */
export function readSheet(sheet: RubbingSheet): ReadSheet {
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
  const { flattening, flat } = flatSheet(sheet);
  return { flattening, flat, density: waxDensity(flat) };
}

/** In a function of its own, so that the grey original is let go before the wax is looked at. */
function flatSheet(sheet: RubbingSheet): { flattening: Flattening; flat: RectifiedSheet } {
  const grey = greyOf(sheet.image);
  const flattening = flatten(sheet, grey);
  return { flattening, flat: rectify(grey, flattening) };
}
