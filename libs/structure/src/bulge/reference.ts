/** Heights of a surface over what they are told from: the datum, or the plane through the panel's edges. */
import { resampleMm, type XyMm } from '#libs/net';
import { forward } from './cholesky.js';
import { applied, type BulgeSurface, dot, heightForm, type LinearForm, spread } from './surface.js';

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
  const coefficients = plane === null ? [0, 0, 0] : plane.forms.map((form) => dot(form, weights));
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
        for (let k = 0; k < 3; k++) form[i]! -= takes[k]! * plane.forms[k]![i]!;
      }
      return form;
    },
    sigmaOf(form) {
      const half = forward(factor, form);
      return Math.sqrt(dot(half, half));
    },
  };
}

/** Least squares plane a + b x + c y through the surface along the outline, as forms of the weights. */
function edgePlane({ x, y, factor, outlineMm }: BulgeSurface): { forms: Float64Array[] } {
  const edge = resampleMm([...outlineMm, outlineMm[0]!], EDGE_STEP_MM);
  const normal = new Float64Array(9);
  const sums = [0, 1, 2].map(() => new Float64Array(factor.n));
  for (const place of edge) {
    const row = [1, place[0], place[1]];
    const form: LinearForm = heightForm(x, y, place);
    for (let k = 0; k < 3; k++) {
      for (let l = 0; l < 3; l++) normal[3 * k + l]! += row[k]! * row[l]!;
      for (let i = 0; i < 16; i++) sums[k]![form.at[i]!]! += row[k]! * form.of[i]!;
    }
  }
  const inverse = inverse3(normal);
  const forms = [0, 1, 2].map((k) => {
    const form = new Float64Array(factor.n);
    for (let l = 0; l < 3; l++) {
      for (let i = 0; i < form.length; i++) form[i]! += inverse[3 * k + l]! * sums[l]![i]!;
    }
    return form;
  });
  return { forms };
}

/** Of a 3 × 3 matrix, row by row, by cofactors. */
function inverse3(m: Float64Array): Float64Array {
  const minor = (i: number, j: number) => {
    const rows = [0, 1, 2].filter((k) => k !== i);
    const columns = [0, 1, 2].filter((k) => k !== j);
    const at = (r: number, c: number) => m[3 * rows[r]! + columns[c]!]!;
    return ((i + j) % 2 === 0 ? 1 : -1) * (at(0, 0) * at(1, 1) - at(0, 1) * at(1, 0));
  };
  const determinant = m[0]! * minor(0, 0) + m[1]! * minor(0, 1) + m[2]! * minor(0, 2);
  const inverse = new Float64Array(9);
  for (let i = 0; i < 3; i++) {
    for (let j = 0; j < 3; j++) inverse[3 * i + j] = minor(j, i) / determinant;
  }
  return inverse;
}
