/** What is left in doubt because of the lens, in millimetres on the sheet. */
import type { FlattenReport } from '#libs/net';
import { fitHomography, invertHomography, project } from './homography.js';
import { type Lens, lensOf, undistort } from './lens.js';

const GRID = 7;

/**
 * How far a place among the marks moves when k1 is off by `sigmaK1` and the map is fitted through the marks again: the most
 * of a grid over the box of the marks, millimetres.
 * @param xyMm marks on the sheet, flat
 * @param px the same in the picture, lens distortion included
 */
export function midSheetMm(
  image: { readonly widthPx: number; readonly heightPx: number },
  lens: Lens,
  sigmaK1: number,
  xyMm: Float64Array,
  px: Float64Array,
): number {
  const through = (used: Lens): ((x: number, y: number) => [number, number]) => {
    const flat = new Float64Array(px.length);
    for (let k = 0; k < px.length; k += 2) flat.set(undistort(used, px[k]!, px[k + 1]!), k);
    const panelFromImage = invertHomography(fitHomography(xyMm, flat));
    return (x, y) => project(panelFromImage, ...undistort(used, x, y));
  };
  const now = through(lens);
  const other = through(lensOf(image, lens.k1 + sigmaK1, lens.k2));
  let most = 0;
  const us = px.filter((_, i) => i % 2 === 0);
  const vs = px.filter((_, i) => i % 2 === 1);
  const [u0, u1, v0, v1] = [Math.min(...us), Math.max(...us), Math.min(...vs), Math.max(...vs)];
  for (let j = 0; j < GRID; j++) {
    for (let i = 0; i < GRID; i++) {
      const u = u0 + ((u1 - u0) * i) / (GRID - 1);
      const v = v0 + ((v1 - v0) * j) / (GRID - 1);
      const [ax, ay] = now(u, v);
      const [bx, by] = other(u, v);
      most = Math.max(most, Math.hypot(ax - bx, ay - by));
    }
  }
  return most;
}

/** Below this nobody at a bench can tell. */
const WORTH_SAYING_MM = 0.15;

/** @param source what k1 was taken from; null: nothing, so none was taken out */
export function lensDoubt(midSheet: number, source: string | null): FlattenReport['lensDoubt'] {
  if (source === null) {
    return {
      midSheetMm: midSheet,
      sentence: `The picture does not show how far its lens bends lines, so nothing was taken out: in mid-sheet a lead may lie off by about ${midSheet.toFixed(1)} mm. Photograph the whole sheet with its edges, lay the target strips round the panel, or calibrate this phone once.`,
    };
  }
  if (midSheet < WORTH_SAYING_MM) return undefined;
  return {
    midSheetMm: midSheet,
    sentence: `The lens was taken from ${source}; in mid-sheet this leaves about ${midSheet.toFixed(1)} mm.`,
  };
}
