import type { Net } from './net.js';

/** Said on every drawing turned over left to right; a reader of our own files knows it by this. */
export const MIRRORED_WORDS = 'MIRRORED: as seen from outside.';

/**
 * What a person must know of a drawing before using it, as sentences: from which side it is seen,
 * which face and layer were taken, and whether lengths follow the bulge. Said in every output.
 */
export function drawingWords(net: Net, options: { readonly mirrored?: boolean } = {}): string[] {
  return [
    options.mirrored === true ? MIRRORED_WORDS : 'As seen from inside; not mirrored.',
    `Taken from the ${net.face} face, ${net.layer} layer.`,
    net.surface === 'developed'
      ? 'Developed: lengths follow the surface of a bulged panel, as a rubbing does.'
      : 'In plan: lengths as on a flat panel.',
  ];
}
