/** Cubic B-splines on evenly spaced knots over an interval, and the integrals of their products. */

export interface SplineAxis {
  readonly fromMm: number;
  readonly cellMm: number;
  readonly cells: number;
}

/** Splines over an axis: each cell is reached by four. */
export const splineCount = ({ cells }: SplineAxis) => cells + 3;

/** The four splines that reach a place: number of the first, their values and three derivatives. */
export interface SplinesAt {
  readonly first: number;
  readonly value: readonly number[];
  readonly slope: readonly number[];
  readonly bend: readonly number[];
  readonly third: readonly number[];
}

export type Derivative = 'value' | 'slope' | 'bend' | 'third';

/**
 * Places beyond the ends are read on the outermost cell, which goes on as a cubic.
 *
 * Source: uniform cubic B-splines, de Boor (from memory); checked by partition of unity and SciPy.
 */
export function splinesAt({ fromMm, cellMm, cells }: SplineAxis, atMm: number): SplinesAt {
  const place = (atMm - fromMm) / cellMm;
  const first = Math.min(cells - 1, Math.max(0, Math.floor(place)));
  const t = place - first;
  const r = 1 - t;
  return {
    first,
    value: [
      r ** 3 / 6,
      (3 * t ** 3 - 6 * t ** 2 + 4) / 6,
      (3 * r ** 3 - 6 * r ** 2 + 4) / 6,
      t ** 3 / 6,
    ],
    slope: [-(r ** 2) / 2, (3 * t ** 2 - 4 * t) / 2, -(3 * r ** 2 - 4 * r) / 2, t ** 2 / 2].map(
      (value) => value / cellMm,
    ),
    bend: [r, 3 * t - 2, 3 * r - 2, t].map((value) => value / cellMm ** 2),
    third: [-1, 3, -3, 1].map((value) => value / cellMm ** 3),
  };
}

// Four places of Gauss and Legendre: exact up to the seventh degree, the products have the sixth.
const GAUSS = [
  [0.06943184420297371, 0.17392742256872692],
  [0.33000947820757187, 0.32607257743127305],
  [0.6699905217924281, 0.32607257743127305],
  [0.9305681557970262, 0.17392742256872692],
] as const;

/** Integrals over the axis of the products of values, and of each derivative; n × n, row by row. */
export function splineProducts(axis: SplineAxis): Record<Derivative, Float64Array> {
  const n = splineCount(axis);
  const sums = {
    value: new Float64Array(n * n),
    slope: new Float64Array(n * n),
    bend: new Float64Array(n * n),
    third: new Float64Array(n * n),
  };
  for (let cell = 0; cell < axis.cells; cell++) {
    for (const [at, weight] of GAUSS) {
      const splines = splinesAt(axis, axis.fromMm + (cell + at) * axis.cellMm);
      for (const kind of ['value', 'slope', 'bend', 'third'] as const) {
        for (let i = 0; i < 4; i++) {
          for (let j = 0; j < 4; j++) {
            sums[kind][(splines.first + i) * n + splines.first + j]! +=
              weight * axis.cellMm * splines[kind][i]! * splines[kind][j]!;
          }
        }
      }
    }
  }
  return sums;
}
