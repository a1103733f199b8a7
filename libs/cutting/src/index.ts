/** Door of cutting: which pieces come from which sheet of glass, and how they lie on it. */
export {
  assumptionsOf,
  type CutGlass,
  type CutList,
  type CutRow,
  cutListCsv,
  sheetNumber,
  warningsOf,
} from './cut-list.js';
export type {
  CutOptions,
  CutPiece,
  Cutting,
  LaidPiece,
  LaidSheet,
  RectangleMm,
  SheetKind,
  TooLarge,
} from './cutting.js';
export { type LayPieces, layPieces, tooLargeFor } from './lay-pieces.js';
export { followsGrain, roomMm, toldTurnDeg, turnsOn } from './turns.js';
