/** Thickness of a moulded piece between the places where it was gauged. */
import { boundsMm, isInsideRing, type XyMm } from '#libs/net';
import { contours, type Stretch } from '../bulge/contours.js';
import { solvedDense } from './solved-dense.js';

/** One gauge reading: a place in the panel's frame, and the glass there, mm. */
export interface GaugedPoint {
  readonly xyMm: XyMm;
  readonly thicknessMm: number;
}

export interface ThicknessMap {
  readonly lowMm: number;
  readonly highMm: number;
  /** Over the area of the piece, so that readings that crowd count no more than their place. */
  readonly meanMm: number;
  /** A surface through the readings, or (fewer than three places, or all in a line) their plain mean. */
  readonly from: 'surface' | 'mean';
  readonly ringMm: readonly XyMm[];
  /** Never beyond what was gauged. */
  readonly thicknessMmAt: (place: XyMm) => number;
}

/** Cells along the longer side over which the mean is taken. */
const CELLS = 80;
/** Two readings this near are of one place: their mean counts. */
const ONE_PLACE_MM = 0.5;

/**
 * The thin-plate spline through the readings (it bends least of all surfaces through them; a wedge comes out
 * a wedge), held between the thinnest and the thickest reading.
 *
 * Source: Duchon 1977, from memory; held against SciPy's RBFInterpolator in its test.
 *
 * @param points at least one
 * @param ringMm outline of the piece, in the frame of the points
 */
export function thicknessMap(
  points: readonly GaugedPoint[],
  ringMm: readonly XyMm[],
): ThicknessMap {
  const places = onePlaceEach(points);
  const all = points.map(({ thicknessMm }) => thicknessMm);
  const [lowMm, highMm] = [Math.min(...all), Math.max(...all)];
  const plain = all.reduce((sum, one) => sum + one, 0) / all.length;
  const spline = splineThrough(places);
  if (spline === null) {
    return { lowMm, highMm, meanMm: plain, from: 'mean', ringMm, thicknessMmAt: () => plain };
  }
  const thicknessMmAt = (place: XyMm) => Math.min(highMm, Math.max(lowMm, spline(place)));
  const meanMm = meanOver(ringMm, thicknessMmAt) ?? plain;
  return { lowMm, highMm, meanMm, from: 'surface', ringMm, thicknessMmAt };
}

/**
 * Lines of one thickness within the piece; none where the readings tell no surface. The map is level beyond its
 * thinnest and its thickest reading, so the rim of that level part is no line.
 */
export function thicknessContours(map: ThicknessMap, stepMm: number): Stretch[] {
  if (map.from === 'mean') return [];
  const { ringMm: outlineMm, thicknessMmAt: heightMm } = map;
  const least = stepMm / 1000;
  return contours({ surface: { outlineMm }, heightMm }, stepMm).filter(
    ({ level }) => level > map.lowMm + least && level < map.highMm - least,
  );
}

function onePlaceEach(points: readonly GaugedPoint[]): GaugedPoint[] {
  const groups: GaugedPoint[][] = [];
  for (const point of points) {
    const near = groups.find(
      ([first]) =>
        Math.hypot(first!.xyMm[0] - point.xyMm[0], first!.xyMm[1] - point.xyMm[1]) < ONE_PLACE_MM,
    );
    if (near === undefined) groups.push([point]);
    else near.push(point);
  }
  return groups.map((group) => ({
    xyMm: group[0]!.xyMm,
    thicknessMm: group.reduce((sum, one) => sum + one.thicknessMm, 0) / group.length,
  }));
}

/** Null where no single surface is told: fewer than three places, or all in a line. */
function splineThrough(points: readonly GaugedPoint[]): ((place: XyMm) => number) | null {
  const n = points.length;
  if (n < 3) return null;
  // In units of their own spread: r² log r would mix sizes of very different order.
  const box = boundsMm(points.map(({ xyMm }) => xyMm));
  const unit = Math.max(box.maxX - box.minX, box.maxY - box.minY);
  const at = ([x, y]: XyMm): XyMm => [(x - box.minX) / unit, (y - box.minY) / unit];
  const known = points.map(({ xyMm }) => at(xyMm));
  const size = n + 3;
  const matrix = new Float64Array(size * size);
  const right = new Float64Array(size);
  for (let i = 0; i < n; i++) {
    for (let j = 0; j < n; j++) matrix[i * size + j] = pull(known[i]!, known[j]!);
    for (const [k, value] of [1, ...known[i]!].entries()) {
      matrix[i * size + n + k] = value;
      matrix[(n + k) * size + i] = value;
    }
    right[i] = points[i]!.thicknessMm;
  }
  const weights = solvedDense(matrix, right);
  if (weights === null) return null;
  return (place) => {
    const here = at(place);
    let value = weights[n]! + weights[n + 1]! * here[0] + weights[n + 2]! * here[1];
    for (let i = 0; i < n; i++) value += weights[i]! * pull(here, known[i]!);
    return value;
  };
}

/** r² log r of a distance. */
function pull([ax, ay]: XyMm, [bx, by]: XyMm): number {
  const squared = (ax - bx) ** 2 + (ay - by) ** 2;
  return squared === 0 ? 0 : (squared * Math.log(squared)) / 2;
}

/** Of the middles of small cells that lie in the ring; null where none does. */
function meanOver(ringMm: readonly XyMm[], of: (place: XyMm) => number): number | null {
  const box = boundsMm(ringMm);
  const cell = Math.max(box.maxX - box.minX, box.maxY - box.minY) / CELLS;
  let sum = 0;
  let count = 0;
  for (let y = box.minY + cell / 2; y < box.maxY; y += cell) {
    for (let x = box.minX + cell / 2; x < box.maxX; x += cell) {
      if (!isInsideRing([x, y], ringMm)) continue;
      sum += of([x, y]);
      count += 1;
    }
  }
  return count === 0 ? null : sum / count;
}
