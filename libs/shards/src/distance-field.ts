/** Signed distance to a ring on a grid: what every later question about a shard's edge is asked of. */

export interface DistanceField {
  readonly x0: number;
  readonly y0: number;
  readonly width: number;
  readonly height: number;
  /** Millimetres, positive on the outside, held at ± FIELD_REACH_MM. */
  readonly distance: Float32Array;
  /** Index of the nearest ring point; -1 beyond reach. */
  readonly nearest: Int16Array;
}

export const FIELD_CELL_MM = 0.25;
/** Cells in a millimetre. */
export const FIELD_CELLS_PER_MM = 1 / FIELD_CELL_MM;
export const FIELD_REACH_MM = 3;

/**
 * @param ring flat ring of positive area, points a little apart
 * @param isFrame what lies outside of the ring counts as solid, and its inside as free
 */
export function distanceField(ring: Float64Array, isFrame = false): DistanceField {
  const n = ring.length / 2;
  let x1 = Infinity;
  let y1 = Infinity;
  let x2 = -Infinity;
  let y2 = -Infinity;
  for (let i = 0; i < n; i++) {
    x1 = Math.min(x1, ring[2 * i]!);
    x2 = Math.max(x2, ring[2 * i]!);
    y1 = Math.min(y1, ring[2 * i + 1]!);
    y2 = Math.max(y2, ring[2 * i + 1]!);
  }
  const margin = FIELD_REACH_MM + FIELD_CELL_MM;
  const x0 = x1 - margin;
  const y0 = y1 - margin;
  const width = Math.ceil((x2 - x1 + 2 * margin) * FIELD_CELLS_PER_MM) + 1;
  const height = Math.ceil((y2 - y1 + 2 * margin) * FIELD_CELLS_PER_MM) + 1;
  const squared = new Float32Array(width * height).fill(FIELD_REACH_MM ** 2);
  const nearest = new Int16Array(width * height).fill(-1);
  for (let i = 0; i < n; i++) {
    const j = (i + 1) % n;
    const ax = ring[2 * i]! - x0;
    const ay = ring[2 * i + 1]! - y0;
    const bx = ring[2 * j]! - x0 - ax;
    const by = ring[2 * j + 1]! - y0 - ay;
    const inverse = 1 / Math.max(1e-12, bx * bx + by * by);
    const span = FIELD_REACH_MM;
    const u1 = Math.max(0, Math.floor((Math.min(ax, ax + bx) - span) * FIELD_CELLS_PER_MM));
    const u2 = Math.min(width - 1, Math.ceil((Math.max(ax, ax + bx) + span) * FIELD_CELLS_PER_MM));
    const v1 = Math.max(0, Math.floor((Math.min(ay, ay + by) - span) * FIELD_CELLS_PER_MM));
    const v2 = Math.min(height - 1, Math.ceil((Math.max(ay, ay + by) + span) * FIELD_CELLS_PER_MM));
    for (let v = v1; v <= v2; v++) {
      const py = v * FIELD_CELL_MM - ay;
      for (let u = u1; u <= u2; u++) {
        const px = u * FIELD_CELL_MM - ax;
        let t = (px * bx + py * by) * inverse;
        t = t < 0 ? 0 : t > 1 ? 1 : t;
        const ex = px - t * bx;
        const ey = py - t * by;
        const d2 = ex * ex + ey * ey;
        const k = v * width + u;
        if (d2 < squared[k]!) {
          squared[k] = d2;
          nearest[k] = t > 0.5 ? j : i;
        }
      }
    }
  }
  const isInside = insideGrid(ring, x0, y0, width, height);
  const distance = squared;
  for (let k = 0; k < distance.length; k++) {
    const d = Math.sqrt(squared[k]!);
    distance[k] = (isInside[k] === 1) !== isFrame ? -d : d;
  }
  return { x0, y0, width, height, distance, nearest };
}

/** Which grid points lie inside the ring (even-odd, row by row). */
function insideGrid(
  ring: Float64Array,
  x0: number,
  y0: number,
  width: number,
  height: number,
): Uint8Array {
  const out = new Uint8Array(width * height);
  const crossings: number[][] = Array.from({ length: height }, () => []);
  const n = ring.length / 2;
  for (let i = 0; i < n; i++) {
    const j = (i + 1) % n;
    const ya = (ring[2 * i + 1]! - y0) * FIELD_CELLS_PER_MM;
    const yb = (ring[2 * j + 1]! - y0) * FIELD_CELLS_PER_MM;
    const from = Math.ceil(Math.min(ya, yb));
    const to = Math.max(ya, yb);
    for (let v = from; v < to; v++) {
      const t = (v - ya) / (yb - ya);
      const x = ring[2 * i]! + t * (ring[2 * j]! - ring[2 * i]!);
      crossings[v]!.push((x - x0) * FIELD_CELLS_PER_MM);
    }
  }
  for (let v = 0; v < height; v++) {
    const row = crossings[v]!.sort((a, b) => a - b);
    for (let k = 0; k + 1 < row.length; k += 2) {
      out.fill(1, v * width + Math.ceil(row[k]!), v * width + Math.floor(row[k + 1]!) + 1);
    }
  }
  return out;
}
