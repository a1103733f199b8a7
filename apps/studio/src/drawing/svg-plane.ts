/** An SVG drawing whose unit is the plane's: where a pointer is in it, what it shows, and rings as paths. */
import { boxOf, type Xy } from './plane.js';

/** Where a pointer is on the drawing; null while the drawing has no place on the screen. */
export function placeOf(
  drawing: SVGSVGElement,
  { clientX, clientY }: { readonly clientX: number; readonly clientY: number },
): Xy | null {
  const matrix = drawing.getScreenCTM();
  if (matrix === null) return null;
  const { x, y } = new DOMPoint(clientX, clientY).matrixTransform(matrix.inverse());
  return [x, y];
}

/** Attribute `viewBox` that shows all points with some air round them. */
export function viewBoxOf(points: readonly Xy[], air = 0): string {
  const { minX, minY, maxX, maxY } = boxOf(points);
  return [minX - air, minY - air, maxX - minX + 2 * air, maxY - minY + 2 * air].join(' ');
}

/** Rings as one path, which leaves holes open by the even-odd rule. */
export const pathOfRings = (rings: readonly (readonly Xy[])[]): string =>
  rings.map((ring) => `M${ring.map(([x, y]) => `${short(x)} ${short(y)}`).join('L')}Z`).join('');

/** A hundredth of a millimetre is less than any screen shows. */
const short = (value: number): number => Math.round(value * 100) / 100;
