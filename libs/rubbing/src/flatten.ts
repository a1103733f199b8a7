/** From taps and measurements to the map between panel millimetres and image pixels. */
import { flattenMarks } from './flatten-marks.js';
import { flattenByBar, flattenByScanner } from './flatten-scan.js';
import { flattenByTargets } from './flatten-target.js';
import type { Flattening } from './flattening.js';
import type { GreyImage } from './grey-image.js';
import type { RubbingSheet } from './sheet.js';

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
