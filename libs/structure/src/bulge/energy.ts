/** What a surface of splines costs: how much it bends, or how much its bending changes. */
import { type Derivative, type SplineAxis, splineCount, splineProducts } from './bspline.js';
import { addTo, type BandMatrix, emptyBand } from './cholesky.js';

/** What a smooth surface has little of: bending, or change of bending. */
export type Smoothness = 'bend' | 'twist';

/** Binomial sums of squared derivatives: ∬ f_xx² + 2 f_xy² + f_yy², or of the third ones, 1 3 3 1. */
const ENERGY: Readonly<Record<Smoothness, readonly (readonly [number, Derivative, Derivative])[]>> =
  {
    bend: [
      [1, 'bend', 'value'],
      [2, 'slope', 'slope'],
      [1, 'value', 'bend'],
    ],
    twist: [
      [1, 'third', 'value'],
      [3, 'bend', 'slope'],
      [3, 'slope', 'bend'],
      [1, 'value', 'third'],
    ],
  };

/** Directions that cost nothing: a plane's three, a paraboloid's six. */
export const FREE: Readonly<Record<Smoothness, number>> = { bend: 3, twist: 6 };

export function energyOf(
  kind: Smoothness,
  x: SplineAxis,
  y: SplineAxis,
  n: number,
  width: number,
): BandMatrix {
  const [px, py] = [splineProducts(x), splineProducts(y)];
  const [nx, ny] = [splineCount(x), splineCount(y)];
  const energy = emptyBand(n, width);
  for (let i = 0; i < nx; i++) {
    for (let k = Math.max(0, i - 3); k <= i; k++) {
      const ik = i * nx + k;
      for (let j = 0; j < ny; j++) {
        for (let l = Math.max(0, j - 3); l <= Math.min(ny - 1, j + 3); l++) {
          const [row, column] = [i * ny + j, k * ny + l];
          if (column > row) continue;
          const jl = j * ny + l;
          const member = ENERGY[kind].reduce(
            (sum, [times, alongX, alongY]) => sum + times * px[alongX][ik]! * py[alongY][jl]!,
            0,
          );
          addTo(energy, row, column, member);
        }
      }
    }
  }
  return energy;
}
