/** A bulge taken as a circular arc over its chord: what a ruler on the bench is compared with. */
import { needPositive } from '../structure-error.js';

export interface ArcFigures {
  readonly radiusMm: number;
  readonly arcMm: number;
  readonly extraMm: number;
}

/**
 * Source: plane geometry; `R = c² / 8 s + s / 2`, `arc = 2 R asin(c / 2 R)`, beyond the half circle the rest
 * of the full one.
 *
 * @throws StructureError `bad-size`
 */
export function arcOver(chordMm: number, sagittaMm: number): ArcFigures {
  needPositive(chordMm, 'chordMm', 'bad-size');
  needPositive(sagittaMm, 'sagittaMm', 'bad-size');
  const radiusMm = chordMm ** 2 / (8 * sagittaMm) + sagittaMm / 2;
  const half = Math.asin(Math.min(1, chordMm / (2 * radiusMm)));
  const arcMm =
    sagittaMm <= chordMm / 2 ? 2 * radiusMm * half : radiusMm * (2 * Math.PI - 2 * half);
  return { radiusMm, arcMm, extraMm: arcMm - chordMm };
}
