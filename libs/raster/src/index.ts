export { boxBlur, gaussianBlur } from './blur.js';
export { connectedComponents } from './components.js';
export { nearestLabel, squaredDistance } from './distance.js';
export { closing, maxFilter, minFilter } from './extrema.js';
export { percentileFilter } from './percentile.js';
export { makePlane, mapPlane, type Plane } from './plane.js';
export { bilinear, shrink } from './sample.js';
export { watershed } from './watershed.js';
