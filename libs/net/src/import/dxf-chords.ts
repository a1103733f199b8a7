/** Entities of a DXF as chords, in drawing units, y up. Source: DXF reference, entities (from memory). */
import type { XyMm } from '../net.js';
import { CartoonError } from './cartoon.js';
import { type DxfEntity, first } from './dxf-tags.js';
import { arcChords } from './flatten-curves.js';
import { type ChordLine, splineChords } from './spline-chords.js';

/** @returns null for what is no line */
export function entityChords(entity: DxfEntity, tolerance: number): ChordLine | null {
  const shape = chords(entity, tolerance);
  if (shape === null) return null;
  // An entity drawn from behind is turned over; for these kinds only (others are in world places).
  const isTurned = ['ARC', 'CIRCLE', 'LWPOLYLINE', 'POLYLINE'].includes(entity.type);
  return isTurned && Number(first(entity.tags, 230) ?? 1) < 0
    ? { ...shape, points: shape.points.map(([x, y]): XyMm => [-x, y]) }
    : shape;
}

function chords(entity: DxfEntity, tolerance: number): ChordLine | null {
  const { type, tags } = entity;
  const n = (code: number) => numberOf(entity, code);
  switch (type) {
    case 'LINE':
      return {
        points: [
          [n(10), n(20)],
          [n(11), n(21)],
        ],
        isClosed: false,
      };
    case 'CIRCLE':
      return { points: circle(n(10), n(20), n(40), 0, 2 * Math.PI, tolerance), isClosed: true };
    case 'ARC': {
      const start = (n(50) * Math.PI) / 180;
      let sweep = ((n(51) - n(50)) * Math.PI) / 180;
      if (sweep <= 0) sweep += 2 * Math.PI;
      return { points: circle(n(10), n(20), n(40), start, sweep, tolerance), isClosed: false };
    }
    case 'ELLIPSE':
      return ellipse(entity, tolerance);
    case 'LWPOLYLINE':
      return bulged(lightVertices(tags), isFlagged(entity, 1), tolerance);
    case 'POLYLINE': {
      // 16 and 64: a mesh; 8 of a vertex: a control point of a curve that was fitted to it
      if (isFlagged(entity, 16) || isFlagged(entity, 64)) return null;
      const vertices = entity.children
        .filter((vertex) => !isFlagged(vertex, 16))
        .map((vertex) => ({
          xy: [numberOf(vertex, 10), numberOf(vertex, 20)] as const,
          bulge: numberOf(vertex, 42, 0),
        }));
      return bulged(vertices, isFlagged(entity, 1), tolerance);
    }
    case 'SPLINE':
      return splineChords(entity, tolerance);
    default:
      return null;
  }
}

function circle(
  x: number,
  y: number,
  radius: number,
  start: number,
  sweep: number,
  tolerance: number,
): readonly XyMm[] {
  return arcChords(Math.abs(radius), start, sweep, tolerance, (cos, sin) => [
    x + radius * cos,
    y + radius * sin,
  ]);
}

function ellipse(entity: DxfEntity, tolerance: number): ChordLine {
  const n = (code: number, other?: number) => numberOf(entity, code, other);
  const [mx, my] = [n(11), n(21)];
  const ratio = n(40);
  const start = n(41, 0);
  const end = n(42, 2 * Math.PI);
  const sweep = end > start ? end - start : end - start + 2 * Math.PI;
  // turned over, the minor axis goes the other way
  const side = Number(first(entity.tags, 230) ?? 1) < 0 ? -1 : 1;
  const points = arcChords(Math.hypot(mx, my), start, sweep, tolerance, (cos, sin) => [
    n(10) + mx * cos - side * my * ratio * sin,
    n(20) + my * cos + side * mx * ratio * sin,
  ]);
  return { points, isClosed: sweep > 2 * Math.PI - 1e-6 };
}

interface Vertex {
  readonly xy: readonly [number, number];
  readonly bulge: number;
}

function lightVertices(tags: DxfEntity['tags']): Vertex[] {
  const out: { xy: [number, number]; bulge: number }[] = [];
  for (const [code, value] of tags) {
    if (code === 1001) break;
    if (code === 10) out.push({ xy: [Number(value), 0], bulge: 0 });
    const last = out[out.length - 1];
    if (last === undefined) continue;
    if (code === 20) last.xy[1] = Number(value);
    if (code === 42) last.bulge = Number(value);
  }
  return out;
}

/** A bulge is the tangent of a quarter of the angle that the arc to the next vertex turns through. */
function bulged(vertices: readonly Vertex[], isClosed: boolean, tolerance: number): ChordLine {
  const points: XyMm[] = vertices.length === 0 ? [] : [vertices[0]!.xy];
  vertices.forEach(({ xy: [x1, y1], bulge }, i) => {
    const next = vertices[i + 1] ?? (isClosed ? vertices[0] : undefined);
    if (next === undefined) return;
    const [x2, y2] = next.xy;
    const chord = Math.hypot(x2 - x1, y2 - y1);
    if (bulge === 0 || !Number.isFinite(bulge) || chord === 0) {
      points.push([x2, y2]);
      return;
    }
    // centre on the chord's perpendicular, at the signed distance (1 − b²) / 4b of its length
    const off = (1 - bulge * bulge) / (4 * bulge);
    const cx = (x1 + x2) / 2 - off * (y2 - y1);
    const cy = (y1 + y2) / 2 + off * (x2 - x1);
    const radius = Math.hypot(x1 - cx, y1 - cy);
    const arc = circle(
      cx,
      cy,
      radius,
      Math.atan2(y1 - cy, x1 - cx),
      4 * Math.atan(bulge),
      tolerance,
    );
    points.push(...arc.slice(1, -1), [x2, y2]);
  });
  return { points, isClosed };
}

function isFlagged(entity: DxfEntity, bit: number): boolean {
  return (Number(first(entity.tags, 70) ?? 0) & bit) !== 0;
}

/** @throws {CartoonError} `not-well-formed` where the entity must have the number */
export function numberOf({ type, tags }: DxfEntity, code: number, other?: number): number {
  const text = first(tags, code);
  const value = text === undefined ? other : Number(text);
  if (value === undefined || !Number.isFinite(value)) {
    throw new CartoonError(
      'not-well-formed',
      `A ${type} of the DXF has no usable number in group ${code}. Save the file again from the program that drew it.`,
    );
  }
  return value;
}
