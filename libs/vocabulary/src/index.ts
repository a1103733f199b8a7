/** Door of the vocabulary: terms, operations, cautions, classes, signs and measures. */
export {
  CAUTIONS,
  type Caution,
  type CautionFigure,
  cautionsFor,
  cautionText,
  DEFERRAL,
  type Jurisdiction,
  STRUCTURAL_DEFERRAL,
} from './cautions.js';
export { type ColourName, inkOf, OKABE_ITO } from './colours.js';
export {
  type ClassNumber,
  CONDITION_WORDS,
  type ConditionClass,
  checkConditionClass,
  RECOMMENDATION_WORDS,
  summaryClass,
  URGENCY_WORDS,
} from './condition.js';
export { FLAG_KINDS, type FlagKind, type FlagWord, flagSentence } from './flags.js';
export {
  AREA_HATCHES,
  type AreaHatchName,
  type HatchTile,
  LINE_STROKES,
  type LineStroke,
  type LineStrokeName,
  POINT_SHAPES,
  type PointShape,
  type PointShapeName,
} from './hatches.js';
export {
  areaPatternSvg,
  findingSvg,
  type LegendOptions,
  legendSvg,
  lineMarks,
  swatchParts,
  swatchSvg,
} from './legend-svg.js';
export {
  areaText,
  coveredRatio,
  type FindingGeometry,
  type Measure,
  measureFinding,
  measureText,
  percentText,
  unionAreaMm2,
} from './measure.js';
export {
  type MeasuredPiece,
  measurePerPiece,
  type PieceShare,
  pieceShareText,
} from './measure-per-piece.js';
export {
  OPERATION_GROUPS,
  OPERATIONS,
  type Operation,
  type OperationGroup,
  operation,
  type Reversibility,
} from './operations.js';
export { pieceSubject, pieceSubjectsIn } from './piece-subjects.js';
export { byNameOrPlural } from './plural.js';
export {
  FATES,
  GLASSES,
  HOLDS,
  LAYERINGS,
  PAINTS,
  PIECE_SUBJECTS,
  RUBBING_PRECONDITIONS,
  SURFACE_WORKS,
  TECHNIQUES,
  type Word,
} from './techniques.js';
export {
  FINDING_TERMS,
  type FindingTerm,
  findingTerm,
  type GeometryKind,
  QUANTITY_UNITS,
  type Quantity,
  TERM_GROUPS,
  type TermGroup,
  type TermSign,
} from './terms.js';
export { TEST_KINDS, type TestKind, type TestOutcome, testKind } from './tests.js';
export { VocabularyError, type VocabularyFault } from './vocabulary-error.js';
