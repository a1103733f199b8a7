/** Door of the elevation: openings, windows, panel grid, packed outlines. */

export { type BarBay, barBays } from './bar-bays.js';
export { checkWindowDrawing } from './check-drawing.js';
export { ElevationError, type ElevationFault } from './elevation-error.js';
export {
  type ArcOptions,
  checkOpening,
  type Opening,
  openingAreaMm2,
  openingRingMm,
  openingSizeMm,
} from './opening.js';
export {
  notYetBelow,
  type PanelBearing,
  refixingOrder,
  removalOrder,
  stillOnTop,
} from './order-of-work.js';
export {
  type NamedOutline,
  PACKED_STEP_MM,
  packOutlines,
  unpackOutlines,
} from './packed-outlines.js';
export { type PanelPlace, panelGrid } from './panel-grid.js';
export {
  type Light,
  openingSchema,
  type WindowDrawing,
  windowDrawingSchema,
} from './window-drawing.js';
