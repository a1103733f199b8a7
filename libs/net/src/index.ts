/** Door of the lead net: build, check, number, measure, read, write, compare. */

export { type BuildNetOptions, buildNet } from './build-net.js';
export {
  brushedRings,
  intersectRings,
  lineInside,
  positiveUnion,
  ringsAreaMm2,
  subtractRings,
  unionRings,
} from './clip.js';
export { type BulgeVertex, bulgeVertices } from './curve/bulges.js';
export {
  arcRadiusMm,
  arcSweep,
  type Curve,
  curveLengthMm,
  curvePoints,
  directionOfPart,
  placeCurve,
  pointOfPart,
  reverseCurve,
} from './curve/curve-parts.js';
export { CURVE_TOLERANCE_MM, type CurveEnds, fitCurve, fitRing } from './curve/fit-curve.js';
export { RUNS_THROUGH_DEG } from './curve/lead-curves.js';
export { EDGE_TOLERANCE_MM, leadCurve, type NetCurves, netCurves } from './curve/net-curves.js';
export { type DiffOptions, diffNets, type LeadShift, type NetDiff } from './diff-nets.js';
export { drawingWords } from './drawing-words.js';
export * from './edit/index.js';
export {
  type Cartoon,
  CartoonError,
  type CartoonFault,
  type CartoonFormat,
  type CartoonLayer,
  type CartoonOptions,
  type CartoonRepair,
} from './import/cartoon.js';
export { readCartoon } from './import/read-cartoon.js';
export { keyholeRing } from './keyhole.js';
export { labelPoint } from './label-point.js';
export { type LozengeGrid, lozengeSketch } from './lozenge-sketch.js';
export * from './net.js';
export {
  DXF_ARC_ERROR_MM,
  DXF_LAYERS,
  DXF_LEAD_LAYERS,
  type NetDxfOptions,
  netDxf,
} from './net-dxf.js';
export { NetError, type NetFault } from './net-error.js';
export { type NetGeoJsonOptions, netGeoJson } from './net-geojson.js';
export { netJson, readNet } from './net-json.js';
export { netJsonSchema } from './net-json-schema.js';
export { netSchema, profileSchema } from './net-schema.js';
export { type NetSvgOptions, netSvg } from './net-svg.js';
export {
  compareNames,
  type NumberedNet,
  type Numbering,
  type NumberOverride,
  numberPieces,
  pieceName,
} from './number-pieces.js';
export { FIGURE_RATIO, numberSizeMm, roomForNumberMm } from './number-size.js';
export { insetRings, outsetRing, type WalkEdge } from './offset.js';
export {
  type OverallCheck,
  type OverallLength,
  type OverallMeasured,
  type OverallVerdict,
  overallCheck,
} from './overall-check.js';
export { heldNet, JOINT_PROFILE, type SeamKind } from './pattern/held-net.js';
export {
  arrowLines,
  type PatternFileOptions,
  patternDxf,
  patternSvg,
} from './pattern/pattern-files.js';
export {
  boxOf,
  type PatternLayout,
  type PatternOptions,
  type PatternPiece,
  patternLayout,
} from './pattern/pattern-layout.js';
export {
  type CutShape,
  type ShapeFileOptions,
  shapesDxf,
  shapesSvg,
} from './pattern/shape-files.js';
export {
  type BoundsMm,
  boundsMm,
  distanceMm,
  distanceToSegmentMm,
  isInsideRing,
  pointAlongMm,
  pointsOfFlat,
  polylineLengthMm,
  resampleMm,
  ringAreaMm2,
  ringCentroidMm,
  ringLengthMm,
  roundXy,
  toMicron,
} from './ring.js';
export {
  type CameNeed,
  type CutSticks,
  cameNeeds,
  cutSticks,
  type NeedOptions,
  withWaste,
} from './schedule/came-needs.js';
export { type CameRun, cameRuns } from './schedule/came-runs.js';
export { type FoilProposal, foilProposals } from './schedule/foil.js';
export {
  type GaugedWidth,
  type NetSchedule,
  netSchedule,
  type PieceRow,
  type ScheduleOptions,
  solderJointCount,
} from './schedule/net-schedule.js';
export { scheduleCsv, scheduleJson } from './schedule/schedule-files.js';
export {
  cutAreaMm2,
  GLASS_G_CM3,
  type GlassLayers,
  glassGrams,
  LEAD_G_CM3,
  leadGramsPerMetre,
  leadWeight,
  type SolderEstimate,
  type SolderOptions,
  sectionMm2,
  solderEstimate,
  USUAL_GLASS_MM,
} from './schedule/weights.js';
export { simplifyLine, simplifyRing } from './simplify.js';
export { sketchFault } from './sketch.js';
export { escapeXml, svgNumber } from './svg-path.js';
export { type MeasuredWidth, type WidthClasses, widthClasses } from './width-classes.js';
