import { makePlane, type Plane } from '#libs/raster';
import { waxMap } from './wax-map.js';

/** What the sheet says about leads, on cells of 0.5 mm. */
export interface LeadEvidence {
  /** Probability that a came's face covers the cell. */
  readonly face: Plane;
  /** exp(-(d / 0.9 mm)²) of the distance d to the nearest centre line, as the network expects it. */
  readonly centre: Plane;
  /** Probability that the cell lies outside the panel. */
  readonly outside: Plane;
  readonly cellsPerMm: number;
  /** Panel place of the centre of cell (0, 0). */
  readonly originMm: readonly [number, number];
}

/**
 * @param density wax density 0-1 at 4 px/mm
 * @param originMm panel place of the centre of its pixel (0, 0)
 */
export function leadEvidence(
  density: Plane,
  pxPerMm: number,
  originMm: readonly [number, number],
): LeadEvidence {
  const step = 32;
  const w = Math.ceil(density.width / step) * step;
  const h = Math.ceil(density.height / step) * step;
  const padded = new Float32Array(w * h);
  for (let y = 0; y < density.height; y++) {
    for (let x = 0; x < density.width; x++) {
      const d = density.data[y * density.width + x]!;
      padded[y * w + x] = d > 1 ? 1 : d;
    }
  }
  const map = waxMap(padded, w, h);
  const width = density.width >> 1;
  const height = density.height >> 1;
  const crop = (from: Float32Array): Plane => {
    const out = makePlane(width, height);
    for (let y = 0; y < height; y++) {
      out.data.set(from.subarray(y * map.widthPx, y * map.widthPx + width), y * width);
    }
    return out;
  };
  return {
    face: crop(map.came),
    centre: crop(map.centre),
    outside: crop(map.outside),
    cellsPerMm: pxPerMm / 2,
    originMm: [originMm[0] + 0.5 / pxPerMm, originMm[1] + 0.5 / pxPerMm],
  };
}
