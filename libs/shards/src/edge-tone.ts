import { bilinear, type Plane } from '#libs/raster';

/** Deep enough to have left the dark rim, shallow enough that a slanting line has hardly moved. */
const DEPTHS_MM = [0.7, 0.8, 0.9];
const DARKEST = 0.02;

/** Mean log brightness a little inside the edge, for each point of the ring (millimetres of the picture). */
export function edgeTone(
  lit: Plane,
  ringMm: Float64Array,
  normals: Float64Array,
  pxPerMm: number,
): Float32Array {
  const out = new Float32Array(ringMm.length / 2);
  for (let i = 0; i < out.length; i++) {
    let sum = 0;
    for (const depth of DEPTHS_MM) {
      const x = (ringMm[2 * i]! - depth * normals[2 * i]!) * pxPerMm;
      const y = (ringMm[2 * i + 1]! - depth * normals[2 * i + 1]!) * pxPerMm;
      sum += Math.log(Math.max(DARKEST, bilinear(lit, x, y)));
    }
    out[i] = sum / DEPTHS_MM.length;
  }
  return out;
}
