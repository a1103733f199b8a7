/** How much a phone's lens bends lines, from one photograph of the uncut target sheet. */
import { greyOf } from './grey-image.js';
import { RubbingError } from './rubbing-error.js';
import type { RubbingImage } from './sheet.js';
import { findTags } from './tag-finder.js';
import { sheetBody, stripsOf } from './target-bodies.js';
import { bundleTargets } from './target-bundle.js';

export interface LensCalibration {
  readonly k1: number;
  readonly k2: number;
  /** One standard deviation of k1. */
  readonly sigmaK1: number;
  /** Of the picture that it was taken from: it holds for pictures of the same proportions. */
  readonly widthPx: number;
  readonly heightPx: number;
  readonly tags: number;
  /** Root mean square of the corners about the fit, pixels. */
  readonly rmsPx: number;
  /** How far from the middle the tags reach, 1 is the corner of the picture. */
  readonly reach: number;
}

const LEAST_TAGS = 12;
/** Distortion grows with the square of the distance from the middle; tags that stay inside say little of the corners. */
const LEAST_REACH = 0.6;
/** Of the longer side, in parts of 4000 pixels. */
const MOST_RMS = 0.8 / 4000;

/**
 * One plane photographed once gives the map and the radial terms together.
 * @throws RubbingError when the sheet is not all there, too small in the picture, or does not lie flat
 */
export function calibrateLens(image: RubbingImage): LensCalibration {
  const strips = stripsOf(findTags(greyOf(image)));
  const tags = strips.reduce((s, one) => s + one.tags.length, 0);
  const papers = new Set(strips.map((s) => s.layout.paper));
  if (tags < LEAST_TAGS || papers.size !== 1) {
    throw new RubbingError(
      'marks-too-few',
      papers.size > 1
        ? 'Tags of two different target sheets are in the picture: photograph one uncut sheet alone.'
        : `${tags} tags of the target sheet can be read, ${LEAST_TAGS} are needed: photograph the whole uncut sheet, flat and in even light.`,
      { tags, wanted: LEAST_TAGS },
    );
  }
  const { widthPx, heightPx } = image;
  const r0 = Math.hypot(widthPx, heightPx) / 2;
  let reach = 0;
  for (const { tags: seen } of strips) {
    for (const { cornersPx } of seen) {
      for (let k = 0; k < 8; k += 2) {
        reach = Math.max(
          reach,
          Math.hypot(cornersPx[k]! - (widthPx - 1) / 2, cornersPx[k + 1]! - (heightPx - 1) / 2) /
            r0,
        );
      }
    }
  }
  if (reach < LEAST_REACH) {
    throw new RubbingError(
      'too-coarse',
      `The target sheet fills too little of the picture (its tags reach ${Math.round(reach * 100)} % of the way to the corners, ${LEAST_REACH * 100} % are needed): come nearer until the sheet fills the frame.`,
      { reach },
    );
  }
  const fit = bundleTargets([sheetBody(strips, 1)], image, {
    k1: 0,
    sigmaK1: 1,
    k2: 0,
    // free only as far as pictures of one sheet can tell k2 from k1
    sigmaK2: 0.01,
  });
  if (fit.rmsPx > Math.max(0.35, MOST_RMS * Math.max(widthPx, heightPx))) {
    throw new RubbingError(
      'marks-disagree',
      `The tags lie ${fit.rmsPx.toFixed(1)} px off a flat sheet: tape the uncut sheet down flat on a table, hold the phone still, and photograph again.`,
      { rmsPx: fit.rmsPx },
    );
  }
  return {
    k1: fit.lens.k1,
    k2: fit.lens.k2,
    sigmaK1: fit.sigmaK1,
    widthPx,
    heightPx,
    tags,
    rmsPx: fit.rmsPx,
    reach,
  };
}

/** Pictures cut or zoomed to other proportions have another middle and another diagonal. */
const SAME_PROPORTIONS = 0.01;

/** The calibration as `RubbingImage.lens`, or undefined for a picture of other proportions. */
export function lensFromCalibration(
  calibration: LensCalibration,
  image: { readonly widthPx: number; readonly heightPx: number },
  source: string,
): RubbingImage['lens'] {
  const long = (p: { widthPx: number; heightPx: number }): number =>
    Math.max(p.widthPx, p.heightPx) / Math.min(p.widthPx, p.heightPx);
  if (Math.abs(long(calibration) / long(image) - 1) > SAME_PROPORTIONS) return undefined;
  return {
    k1: calibration.k1,
    k2: calibration.k2,
    sigmaK1: calibration.sigmaK1,
    source,
  };
}
