import { type Cartoon, CartoonError, type CartoonOptions } from './cartoon.js';

/**
 * Reads a drawing of new work (SVG, DXF or GeoJSON) as a sketch of leads, in millimetres.
 *
 * @throws {CartoonError} with a sentence on what to do
 */
export function readCartoon(_text: string, _options: CartoonOptions = {}): Cartoon {
  throw new CartoonError('unknown-format', 'This is no SVG, DXF or GeoJSON drawing.');
}
