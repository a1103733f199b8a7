/** From taps and measurements to the map between panel millimetres and image pixels. */
import type { FlattenReport } from '#libs/net';
import { flattenMarks } from './flatten-marks.js';
import { flattenByBar, flattenByScanner } from './flatten-scan.js';
import { flattenByTargets } from './flatten-target.js';
import type { GreyImage } from './grey-image.js';
import { type Homography, project } from './homography.js';
import { distort, type Lens } from './lens.js';
import type { RubbingSheet } from './sheet.js';

export interface Flattening {
  /** Panel millimetres → image pixels without lens distortion; apply `lens` afterwards. */
  readonly imageFromPanel: Homography;
  readonly lens: Lens;
  /** Box in panel millimetres worth looking at: minX, minY, maxX, maxY. */
  readonly extentMm: readonly [number, number, number, number];
  /** Mean scale of the image over that box. */
  readonly imagePxPerMm: number;
  /** The marks as found in the picture (lens distortion included) and where they lie in the sheet's frame. */
  readonly marks: readonly FoundMark[];
  readonly report: FlattenReport;
}

export interface FoundMark {
  readonly name: string;
  readonly imageXyPx: readonly [number, number];
  readonly panelXyMm: readonly [number, number];
}

/** Image pixel of a place on the panel. */
export function imageXyPx(f: Flattening, xMm: number, yMm: number): [number, number] {
  const [u, v] = project(f.imageFromPanel, xMm, yMm);
  return f.lens.k1 === 0 && f.lens.k2 === 0 ? [u, v] : distort(f.lens, u, v);
}

/** @throws RubbingError when the marks cannot carry a flattening; the sentence says which and why */
export function flatten(sheet: RubbingSheet, grey: GreyImage): Flattening {
  const { control } = sheet;
  switch (control.kind) {
    case 'scale_bar':
      return flattenByBar(sheet, control, grey);
    case 'scanner':
      return flattenByScanner(sheet, control, grey);
    case 'target_sheet':
      return flattenByTargets(sheet, control, grey);
    case 'control_points':
    case 'sides_diagonals':
    case 'diagonals':
    case 'distances':
      return flattenMarks(sheet, control, grey);
  }
}
