/** A flat scan: square-on, its scale from a drawn ruler or from the scanner. */
import { barEnds } from './bar-ends.js';
import type { Flattening } from './flattening.js';
import type { GreyImage } from './grey-image.js';
import { lensOf } from './lens.js';
import { refuseUnusable } from './mark-checks.js';
import { RubbingError } from './rubbing-error.js';
import type { RubbingControl, RubbingSheet } from './sheet.js';
import { lidMm } from './sheet-extent.js';

/** Of a ruler drawn by hand, each end; and of a scanner's resolution, measured on none: common practice, no source. */
const BAR_END_SIGMA_MM = 0.15;
const SCANNER_SIGMA = 0.003;

/** @throws RubbingError when the ruler and the scan contradict each other */
export function flattenByBar(
  sheet: RubbingSheet,
  control: Extract<RubbingControl, { kind: 'scale_bar' }>,
  grey: GreyImage,
): Flattening {
  const { image } = sheet;
  if (!(control.length_mm > 0)) {
    throw new RubbingError('marks-disagree', 'The scale bar needs a length above zero.', {
      lengthMm: control.length_mm,
    });
  }
  if (sheet.taps.length < 2) {
    throw new RubbingError(
      'marks-too-few',
      `Tap both ends of the scale bar; ${sheet.taps.length} of 2 taps came.`,
      { taps: sheet.taps.length, wanted: 2 },
    );
  }
  const taps = Float64Array.from(sheet.taps.slice(0, 2).flat());
  const names = ['0', String(control.length_mm)];
  refuseUnusable(taps, names, image);
  const rough = Math.hypot(taps[2]! - taps[0]!, taps[3]! - taps[1]!) / control.length_mm;
  const px = barEnds(grey, taps, rough);
  const pxPerMm = Math.hypot(px[2]! - px[0]!, px[3]! - px[1]!) / control.length_mm;
  if (image.dpi !== undefined && Math.abs(pxPerMm / (image.dpi / 25.4) - 1) > 0.02) {
    throw new RubbingError(
      'marks-disagree',
      `The scale bar gives ${(pxPerMm * 25.4).toFixed(0)} dpi, the scan says ${image.dpi} dpi: check the bar's length and both ends.`,
      { barDpi: pxPerMm * 25.4, dpi: image.dpi },
    );
  }
  const isFound = [0, 1].map((k) => px[2 * k] !== taps[2 * k] || px[2 * k + 1] !== taps[2 * k + 1]);
  const endSigmaMm = isFound.map((f) => (f ? BAR_END_SIGMA_MM : 1.5 / pxPerMm));
  const relative = Math.hypot(...endSigmaMm) / control.length_mm;
  return squareOn(sheet, grey, pxPerMm, relative, {
    control: `a ruler of ${control.length_mm} mm`,
    marks: names.map((name, k) => ({
      name,
      residualMm: 0,
      figure: isFound[k] ? ('stroke' as const) : ('tap' as const),
    })),
    px,
    notes: [
      ...(isFound.every((f) => f)
        ? []
        : ['An end of the ruler was not found under its tap: taken as tapped.']),
      'A ruler gives one measurement and no spare one; check the drawing against the panel’s own size and diagonals.',
    ],
  });
}

/** Scale from the resolution alone. @throws RubbingError when no resolution is known */
export function flattenByScanner(
  sheet: RubbingSheet,
  control: Extract<RubbingControl, { kind: 'scanner' }>,
  grey: GreyImage,
): Flattening {
  const dpi = control.dpi ?? sheet.image.dpi;
  if (dpi === undefined || !(dpi >= 50 && dpi <= 2400)) {
    throw new RubbingError(
      'marks-disagree',
      dpi === undefined
        ? 'The picture does not say at what resolution it was scanned: enter the dpi, or measure marks on the sheet.'
        : `A scan has 50 to 2400 dpi, not ${dpi}: enter the resolution the scanner was set to.`,
      dpi === undefined ? {} : { dpi },
    );
  }
  return squareOn(sheet, grey, dpi / 25.4, SCANNER_SIGMA, {
    control: `a scanner at ${dpi} dpi`,
    marks: [],
    px: new Float64Array(0),
    notes: [
      `Nothing on the sheet was measured: the scale is the scanner's ${dpi} dpi, which can be off by a few parts in a thousand. Check the drawing against the panel's own size and diagonals.`,
    ],
  });
}

function squareOn(
  { image }: RubbingSheet,
  grey: GreyImage,
  pxPerMm: number,
  relativeSigma: number,
  found: {
    control: string;
    marks: Flattening['report']['marks'];
    px: Float64Array;
    notes: readonly string[];
  },
): Flattening {
  const [left, top, right, bottom] = lidMm(grey, pxPerMm);
  const extentMm = [
    left,
    top,
    (image.widthPx - 1) / pxPerMm - right,
    (image.heightPx - 1) / pxPerMm - bottom,
  ] as const;
  const overMm = Math.hypot(extentMm[2] - extentMm[0], extentMm[3] - extentMm[1]);
  return {
    imageFromPanel: [pxPerMm, 0, 0, 0, pxPerMm, 0, 0, 0, 1],
    lens: lensOf(image, 0),
    extentMm,
    imagePxPerMm: pxPerMm,
    marks: found.marks.map(({ name }, k) => ({
      name,
      imageXyPx: [found.px[2 * k]!, found.px[2 * k + 1]!],
      panelXyMm: [found.px[2 * k]! / pxPerMm, found.px[2 * k + 1]! / pxPerMm],
    })),
    report: {
      marks: found.marks,
      rmsMm: 0,
      lens: null,
      worstMark: null,
      control: found.control,
      spareMeasurements: 0,
      scale: { plusMinusMm: relativeSigma * overMm, overMm },
      notes: found.notes,
    },
  };
}
