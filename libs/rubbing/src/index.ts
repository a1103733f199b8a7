/** Door of the rubbing reader. */
export { calibrateLens, type LensCalibration, lensFromCalibration } from './calibrate-lens.js';
export { extractRubbing, type RubbingResult } from './extract-rubbing.js';
export { markNames } from './mark-plan.js';
export { READING_VERSION } from './reading-version.js';
export { neededPxPerMm } from './rectify.js';
export { RubbingError, type RubbingFault } from './rubbing-error.js';
export type { RubbingControl, RubbingImage, RubbingOptions, RubbingSheet } from './sheet.js';
export type { SheetPlacement } from './sheet-placement.js';
export type { SheetReport } from './sheets/joined-report.js';
export type { SheetJoin } from './sheets/place-sheets.js';
export type { RubbingStage } from './stages/rubbing-stage.js';
export { TAG_CELLS, TAG_FAMILY } from './tag-family.js';
export {
  TAG_MM,
  type TargetLayout,
  type TargetPaper,
  type TargetStrip,
  targetLayout,
} from './target-layout.js';
export { type TargetView, targetView } from './target-view.js';
