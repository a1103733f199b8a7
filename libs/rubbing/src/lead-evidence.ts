import { bilinear, makePlane, type Plane } from '#libs/raster';
import type { LeadEvidence } from './evidence-planes.js';
import { enlargement, joinedEvidence } from './narrow-leads.js';
import { waxMap } from './wax-map.js';

export type { LeadEvidence } from './evidence-planes.js';

/** Keeps the extraction of one sheet under 1 GiB. */
const MAX_ENLARGED_PIXELS = 40e6;
/** Less gains nothing. */
const LEAST_ENLARGEMENT = 1.1;

/**
 * @param density wax density 0-1 at 4 px/mm
 * @param originMm panel place of the centre of its pixel (0, 0)
 */
export function leadEvidence(
  density: Plane,
  pxPerMm: number,
  originMm: readonly [number, number],
): LeadEvidence {
  const plain = evidenceAt(density, pxPerMm, originMm);
  const most = Math.sqrt(MAX_ENLARGED_PIXELS / (density.width * density.height));
  const by = Math.min(most, enlargement(plain) ?? 1);
  if (by < LEAST_ENLARGEMENT) return plain;
  const shiftMm = (0.5 / by - 0.5) / pxPerMm;
  const enlarged = evidenceAt(enlarge(density, by), pxPerMm * by, [
    originMm[0] + shiftMm,
    originMm[1] + shiftMm,
  ]);
  return joinedEvidence(plain, enlarged);
}

function enlarge(plane: Plane, by: number): Plane {
  const out = makePlane(Math.round(plane.width * by), Math.round(plane.height * by));
  for (let y = 0; y < out.height; y++) {
    const v = (y + 0.5) / by - 0.5;
    for (let x = 0; x < out.width; x++) {
      out.data[y * out.width + x] = bilinear(plane, (x + 0.5) / by - 0.5, v);
    }
  }
  return out;
}

function evidenceAt(
  density: Plane,
  pxPerMm: number,
  originMm: readonly [number, number],
): LeadEvidence {
  const step = 32;
  // The network pools over blocks: they lie at the same places of the panel wherever the picture begins.
  const left = ahead(originMm[0] * pxPerMm, step);
  const top = ahead(originMm[1] * pxPerMm, step);
  const w = Math.ceil((left + density.width) / step) * step;
  const h = Math.ceil((top + density.height) / step) * step;
  const padded = new Float32Array(w * h);
  for (let y = 0; y < density.height; y++) {
    for (let x = 0; x < density.width; x++) {
      const d = density.data[y * density.width + x]!;
      padded[(top + y) * w + left + x] = d > 1 ? 1 : d;
    }
  }
  const map = waxMap(padded, w, h);
  const width = density.width >> 1;
  const height = density.height >> 1;
  const crop = (from: Float32Array): Plane => {
    const out = makePlane(width, height);
    for (let y = 0; y < height; y++) {
      const start = (top / 2 + y) * map.widthPx + left / 2;
      out.data.set(from.subarray(start, start + width), y * width);
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

/** Pixels from the last block's edge to `at`; even, since the map has half the pixels. */
function ahead(at: number, step: number): number {
  return 2 * Math.floor((at - step * Math.floor(at / step)) / 2);
}
