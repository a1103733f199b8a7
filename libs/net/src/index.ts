/** Door of the lead net: build, check, number, measure, read, write, compare. */

export { type BuildNetOptions, buildNet } from './build-net.js';
export {
  type CameNeed,
  type CameRun,
  cameNeeds,
  cameRuns,
  type ScheduleOptions,
  scheduleCsv,
  solderJointCount,
  withWaste,
} from './came-schedule.js';
export { intersectRings, positiveUnion, ringsAreaMm2, subtractRings, unionRings } from './clip.js';
export { type DiffOptions, diffNets, type LeadShift, type NetDiff } from './diff-nets.js';
export { labelPoint } from './label-point.js';
export { type LozengeGrid, lozengeSketch } from './lozenge-sketch.js';
export * from './net.js';
export { netDxf } from './net-dxf.js';
export { NetError, type NetFault } from './net-error.js';
export { netJson, readNet } from './net-json.js';
export { netSchema } from './net-schema.js';
export { type NetSvgOptions, netSvg, numberSizeMm } from './net-svg.js';
export {
  compareNames,
  type NumberedNet,
  type Numbering,
  type NumberOverride,
  numberPieces,
  pieceName,
} from './number-pieces.js';
export { insetRings, outsetRing, type WalkEdge } from './offset.js';
export {
  type BoundsMm,
  boundsMm,
  distanceMm,
  distanceToSegmentMm,
  isInsideRing,
  pointAlongMm,
  polylineLengthMm,
  resampleMm,
  ringAreaMm2,
  ringCentroidMm,
  ringLengthMm,
  roundXy,
  toMicron,
} from './ring.js';
export { simplifyLine, simplifyRing } from './simplify.js';
export { type MeasuredWidth, type WidthClasses, widthClasses } from './width-classes.js';
