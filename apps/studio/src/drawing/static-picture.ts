import ImageLayer from 'ol/layer/Image.js';
import ImageStatic from 'ol/source/ImageStatic.js';
import type { Box } from './plane.js';
import { planeProjection } from './plane-map.js';

/** One whole picture, without tiles, in a box of the plane. */
export const staticPicture = (url: string, box: Box): ImageLayer<ImageStatic> =>
  new ImageLayer({
    source: new ImageStatic({
      url,
      projection: planeProjection,
      imageExtent: [box.minX, -box.maxY, box.maxX, -box.minY],
      interpolate: true,
    }),
  });
