import { defaults as defaultInteractions } from 'ol/interaction/defaults.js';
import OlMap from 'ol/Map.js';
import Projection from 'ol/proj/Projection.js';
import View from 'ol/View.js';
import type { Box } from './plane.js';

export const planeProjection = new Projection({
  code: 'mullion-plane',
  units: 'pixels',
  extent: [-1e5, -1e5, 1e5, 1e5],
});

/** A finger that taps wanders by a few px; a mouse does not. */
const tapWanderPx = () => (window.matchMedia('(pointer: coarse)').matches ? 6 : 1);

const calm = () => window.matchMedia('(prefers-reduced-motion: reduce)').matches;

/** A map over the plane: pan, pinch, wheel; arrows and + − when it has the focus. */
export function makePlaneMap(
  target: HTMLElement,
  {
    doubleClickZoom = true,
    view,
    ...limits
  }: {
    minResolution: number;
    maxResolution: number;
    doubleClickZoom?: boolean;
    /** of another map, to move together with it */
    view?: View;
  },
): OlMap {
  return new OlMap({
    target,
    controls: [],
    moveTolerance: tapWanderPx(),
    interactions: defaultInteractions({
      altShiftDragRotate: false,
      pinchRotate: false,
      doubleClickZoom,
    }),
    view:
      view ??
      new View({
        projection: planeProjection,
        center: [0, 0],
        resolution: 1,
        ...limits,
        enableRotation: false,
        showFullExtent: true,
        smoothResolutionConstraint: true,
      }),
  });
}

/** Room to leave, px: top, right, bottom, left. */
export type Air = readonly [number, number, number, number];

/** Brings a box of the plane into view, with air round it. */
export function showBox(
  map: OlMap,
  box: Box,
  { air = [40, 40, 40, 40], glide = false }: { air?: Air; glide?: boolean } = {},
): void {
  map.getView().fit([box.minX, -box.maxY, box.maxX, -box.minY], {
    size: map.getSize() ?? [300, 300],
    padding: [...air],
    duration: glide && !calm() ? 420 : 0,
  });
}
