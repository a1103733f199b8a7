export { type ArcFigures, arcOver } from './arc.js';
export { type BulgeChange, bulgeChange } from './bulge-change.js';
export { type BulgeFigures, type BulgeLine, bulgeFigures } from './bulge-figures.js';
export { type ChartOptions, contourChartSvg } from './contour-chart.js';
export {
  type BulgeJudgement,
  type BulgeThresholds,
  type BulgeWord,
  judgeBulge,
  USUAL_THRESHOLDS,
} from './judge-bulge.js';
export { type ReadingsUnit, readPoints } from './readings-csv.js';
export { CORNER_NAMES, type CornerName, readingsOn } from './readings-on.js';
export { type Figure, type Heights, type HeightsFrom, heightsOf } from './reference.js';
export {
  type BulgeSurface,
  bulgeSurface,
  READINGS_MAX,
  READINGS_MIN,
  type Reading,
} from './surface.js';
