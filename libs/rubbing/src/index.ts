/** Door of the rubbing reader. */
export { extractRubbing, type RubbingResult } from './extract-rubbing.js';
export { RubbingError, type RubbingFault } from './rubbing-error.js';
export type { RubbingControl, RubbingImage, RubbingOptions, RubbingSheet } from './sheet.js';
export type { SheetPlacement } from './sheet-placement.js';
export type { RubbingStage } from './stages/rubbing-stage.js';
