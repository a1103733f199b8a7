import { FIELD_CELLS_PER_MM } from './distance-field.js';
import { FACING } from './fit-sums.js';
import { relativeTurn, type Turn } from './pose.js';
import type { ShardFace } from './shard-face.js';

type Xy = readonly [number, number];

/** A joint's middle line runs on over gaps in the contact (chips) up to this. */
const BRIDGED_SAMPLES = 5;
const LEAST_SAMPLES = 3;
const WITHIN_MM = 1.2;

/** An edge as it lies in the common frame. */
export interface LyingEdge {
  readonly face: Pick<ShardFace, 'ring' | 'normals' | 'field'>;
  readonly turn: Turn;
}

/**
 * The line along which two lying shards meet, midway between their edges; in parts where it is interrupted.
 * @returns polylines in millimetres of the common frame
 */
export function bondLines(a: LyingEdge, b: LyingEdge, gapMm: number): Xy[][] {
  const rel = relativeTurn(a.turn, b.turn);
  const { x0, y0, width, height, distance, nearest } = a.face.field;
  const { ring, normals } = b.face;
  const n = ring.length / 2;
  const middles: (Xy | null)[] = [];
  for (let m = 0; m < n; m++) {
    const x = rel.cos * ring[2 * m]! - rel.sin * ring[2 * m + 1]! + rel.x;
    const y = rel.sin * ring[2 * m]! + rel.cos * ring[2 * m + 1]! + rel.y;
    const u = Math.round((x - x0) * FIELD_CELLS_PER_MM);
    const v = Math.round((y - y0) * FIELD_CELLS_PER_MM);
    const k = v * width + u;
    const isNear = u >= 0 && v >= 0 && u < width && v < height && nearest[k]! >= 0;
    if (!isNear || Math.abs(distance[k]! - gapMm) > WITHIN_MM) {
      middles.push(null);
      continue;
    }
    const near = nearest[k]!;
    const nx = rel.cos * normals[2 * m]! - rel.sin * normals[2 * m + 1]!;
    const ny = rel.sin * normals[2 * m]! + rel.cos * normals[2 * m + 1]!;
    if (nx * a.face.normals[2 * near]! + ny * a.face.normals[2 * near + 1]! > FACING) {
      middles.push(null);
      continue;
    }
    const hx = (x + a.face.ring[2 * near]!) / 2;
    const hy = (y + a.face.ring[2 * near + 1]!) / 2;
    middles.push([
      a.turn.cos * hx - a.turn.sin * hy + a.turn.x,
      a.turn.sin * hx + a.turn.cos * hy + a.turn.y,
    ]);
  }
  return runs(middles);
}

function runs(middles: readonly (Xy | null)[]): Xy[][] {
  const n = middles.length;
  // begin in the widest gap, so that no line is cut where the ring begins
  let start = 0;
  let widest = 0;
  for (let i = 0, gap = 0; i < 2 * n; i++) {
    gap = middles[i % n] === null ? gap + 1 : 0;
    if (gap > widest) [widest, start] = [gap, (i + 1) % n];
    if (gap >= n) return [];
  }
  const out: Xy[][] = [];
  let line: Xy[] = [];
  let gap = 0;
  for (let k = 0; k < n; k++) {
    const middle = middles[(start + k) % n];
    if (middle) {
      line.push(middle);
      gap = 0;
    } else if (++gap === BRIDGED_SAMPLES) {
      if (line.length >= LEAST_SAMPLES) out.push(line);
      line = [];
    }
  }
  if (line.length >= LEAST_SAMPLES) out.push(line);
  return out;
}
