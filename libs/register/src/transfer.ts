/** Carries what was drawn on a photograph into panel millimetres, and back. */
import { applyHomography, type Homography, type Xy } from './homography.js';
import { RegisterError } from './register-error.js';

export type DrawnGeometry =
  | { readonly kind: 'point'; readonly at: Xy }
  | { readonly kind: 'line'; readonly line: readonly Xy[] }
  | { readonly kind: 'area'; readonly rings: readonly (readonly Xy[])[] };

/**
 * The same geometry in the target's units, rounded to a thousandth. Straight lines stay straight,
 * so the vertices are enough.
 *
 * @throws {RegisterError} `on-horizon` when a point has no place in the target
 */
export function transferGeometry(
  targetFromSource: Homography,
  drawn: DrawnGeometry,
): DrawnGeometry {
  const move = (point: Xy): Xy => {
    const w = targetFromSource[6] * point[0] + targetFromSource[7] * point[1] + targetFromSource[8];
    const [x, y] = applyHomography(targetFromSource, point);
    if (!(w > 1e-9) || !Number.isFinite(x) || !Number.isFinite(y)) {
      throw new RegisterError('on-horizon', 'a point lies beyond the horizon of this photograph');
    }
    return [Math.round(x * 1000) / 1000 + 0, Math.round(y * 1000) / 1000 + 0];
  };
  switch (drawn.kind) {
    case 'point':
      return { kind: 'point', at: move(drawn.at) };
    case 'line':
      return { kind: 'line', line: drawn.line.map(move) };
    case 'area':
      return { kind: 'area', rings: drawn.rings.map((ring) => ring.map(move)) };
  }
}
