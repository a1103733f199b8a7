/** Door of the rubbing reader. */
export { extractRubbing, type RubbingResult } from './extract-rubbing.js';
export { RubbingError, type RubbingFault } from './rubbing-error.js';
export type { RubbingControl, RubbingImage, RubbingOptions, RubbingSheet } from './sheet.js';
export type { SheetPlacement } from './sheet-placement.js';
export type { SheetReport } from './sheets/join-read-sheets.js';
export type { SheetJoin } from './sheets/place-sheets.js';
export type { RubbingStage } from './stages/rubbing-stage.js';
