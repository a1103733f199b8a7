/** Heights of a surface over what they are told from: the datum, or the plane through the panel's edges. */
import { resampleMm, type XyMm } from '#libs/net';
import { StructureError } from '../structure-error.js';
import { addTo, emptyBand, factored, forward, solved } from './cholesky.js';
import { applied, dot, heightForm, spread } from './linear-form.js';
import type { BulgeSurface } from './surface.js';

/**
 * `edges`: the plane that lies best in the surface along the panel's outline, so that a datum set up
 * askew or at another distance takes nothing away. `datum`: as it was read.
 */
export type HeightsFrom = 'edges' | 'datum';

/** A value and its standard deviation. */
export interface Figure {
  readonly value: number;
  readonly sigma: number;
}

export interface Heights {
  readonly surface: BulgeSurface;
  readonly from: HeightsFrom;
  /** Height at a place, mm, positive towards the inside. */
  heightMm(place: XyMm): number;
  /** Derivatives along x and y: how far it leans, per mm. */
  leans(place: XyMm): readonly [alongX: number, alongY: number];
  /** Second derivatives, per mm: xx, xy, yy. */
  bends(place: XyMm): readonly [number, number, number];
  /** Form of the height at a place, over the reference. */
  form(place: XyMm): Float64Array;
  /** Standard deviation of what a form gives. */
  sigmaOf(form: Float64Array): number;
}

const EDGE_STEP_MM = 20;

export function heightsOf(surface: BulgeSurface, from: HeightsFrom = 'edges'): Heights {
  const { x, y, weights, factor } = surface;
  const plane = from === 'edges' ? edgePlane(surface) : null;
  const coefficients = plane === null ? [0, 0, 0] : plane.map((form) => dot(form, weights));
  const [a, b, c] = coefficients as [number, number, number];
  const raw = (place: XyMm, ax: 'value' | 'slope' | 'bend', ay: 'value' | 'slope' | 'bend') =>
    applied(heightForm(x, y, place, ax, ay), weights);
  return {
    surface,
    from,
    heightMm: ([px, py]) => raw([px, py], 'value', 'value') - (a + b * px + c * py),
    leans: (place) => [raw(place, 'slope', 'value') - b, raw(place, 'value', 'slope') - c],
    bends: (place) => [
      raw(place, 'bend', 'value'),
      raw(place, 'slope', 'slope'),
      raw(place, 'value', 'bend'),
    ],
    form(place) {
      const form = spread(heightForm(x, y, place), factor.n);
      if (plane === null) return form;
      const takes = [1, place[0], place[1]];
      for (let i = 0; i < form.length; i++) {
        for (let k = 0; k < 3; k++) form[i]! -= takes[k]! * plane[k]![i]!;
      }
      return form;
    },
    sigmaOf(form) {
      const half = forward(factor, form);
      return Math.sqrt(dot(half, half));
    },
  };
}

/**
 * Least squares plane a + b x + c y through the surface along the outline: a, b and c as forms of the weights.
 *
 * @throws StructureError `bad-size` where the outline is no more than a line
 */
function edgePlane({ x, y, factor, outlineMm }: BulgeSurface): Float64Array[] {
  const edge = resampleMm([...outlineMm, outlineMm[0]!], EDGE_STEP_MM);
  const normal = emptyBand(3, 2);
  const sums = [0, 1, 2].map(() => new Float64Array(factor.n));
  for (const place of edge) {
    const row = [1, place[0], place[1]];
    const { at, of } = heightForm(x, y, place);
    for (let k = 0; k < 3; k++) {
      for (let l = 0; l <= k; l++) addTo(normal, k, l, row[k]! * row[l]!);
      for (let i = 0; i < at.length; i++) sums[k]![at[i]!]! += row[k]! * of[i]!;
    }
  }
  const lower = factored(normal);
  if (lower === undefined) {
    throw new StructureError('bad-size', 'the outline of the panel has no area', 'outlineMm');
  }
  const forms = [0, 1, 2].map(() => new Float64Array(factor.n));
  for (let i = 0; i < factor.n; i++) {
    const abc = solved(
      lower,
      Float64Array.from(sums, (sum) => sum[i]!),
    );
    for (let k = 0; k < 3; k++) forms[k]![i] = abc[k]!;
  }
  return forms;
}
