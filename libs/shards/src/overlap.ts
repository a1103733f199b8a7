import { FIELD_CELLS_PER_MM } from './distance-field.js';
import type { Turn } from './pose.js';
import { SAMPLE_MM, type ShardFace } from './shard-face.js';

const EVERY = 3;

/** A quick look: about how many mm² of two faces lie on one another, seen from the edge of `point`. */
export function roughOverlapMm2(solid: ShardFace, point: ShardFace, rel: Turn): number {
  const { x0, y0, width, height, distance } = solid.field;
  const { ring } = point;
  const { cos, sin } = rel;
  const offsetX = rel.x - x0;
  const offsetY = rel.y - y0;
  let sum = 0;
  for (let i = 0; i < ring.length; i += 2 * EVERY) {
    const u = (cos * ring[i]! - sin * ring[i + 1]! + offsetX) * FIELD_CELLS_PER_MM + 0.5;
    const v = (sin * ring[i]! + cos * ring[i + 1]! + offsetY) * FIELD_CELLS_PER_MM + 0.5;
    if (!(u >= 0 && v >= 0 && u < width && v < height)) continue;
    const d = distance[(v | 0) * width + (u | 0)]!;
    if (d < 0) sum -= d;
  }
  return sum * EVERY * SAMPLE_MM;
}

/** Whether a point of the world lies well inside of a face that lies at `turn`. */
export function isWellInside(solid: ShardFace, turn: Turn, x: number, y: number): boolean {
  const { x0, y0, width, height, distance } = solid.field;
  const dx = x - turn.x;
  const dy = y - turn.y;
  const u = (turn.cos * dx + turn.sin * dy - x0) * FIELD_CELLS_PER_MM + 0.5;
  const v = (turn.cos * dy - turn.sin * dx - y0) * FIELD_CELLS_PER_MM + 0.5;
  if (!(u >= 0 && v >= 0 && u < width && v < height)) return false;
  return distance[(v | 0) * width + (u | 0)]! < -0.5;
}
