/** Door of registration: photograph to panel by points, and geometry from one to the other. */
export {
  fitHomography,
  type PointPair,
  type Registration,
  rootMeanSquare,
} from './fit-homography.js';
export {
  applyHomography,
  composeHomographies,
  type Homography,
  invertHomography,
  localScale,
  type Xy,
} from './homography.js';
export { RegisterError, type RegisterFault } from './register-error.js';
export { type DrawnGeometry, transferGeometry } from './transfer.js';
