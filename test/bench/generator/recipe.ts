/** What one generated rubbing is asked to be. The number names the panel: all chance follows from it. */
import type { ControlKind } from './control-marks.js';
import type { SizeWish } from './curve.js';
import type { Style } from './designs/index.js';
import type { QualityName } from './quality.js';

export interface CaseRecipe {
  number: number;
  style: Style;
  quality: QualityName;
  /** Chosen by the number when left out. */
  control?: ControlKind;
  /** Over the outer leads; chosen by the number when left out. */
  sizeMm?: SizeWish;
  /** Standard deviation of what a person measured, mm; left out: as exact as it is written. */
  noiseMm?: number;
  /** The outside was rubbed: the sheet shows the panel mirrored. */
  outside?: true;
  /** The plate behind the panel, rubbed from outside: few large pieces within the same outer came. */
  plate?: true;
  /** The panel stands out of its plane by this much, as a cylinder between top and bottom or the sides. */
  bulge?: { riseMm: number; along: 'x' | 'y' };
  medium?: Medium;
  pictures?: Pictures;
  /** All but the outer came are copper-foil joints: narrow, even, round. */
  foil?: true;
  /** How many leads that end in the middle of a piece, and how many straps on one face. */
  openEnds?: number;
  straps?: number;
}

/** White crayon on black paper, or a tracing in pen: along the middle of the leads, or round both edges. */
export type Medium = 'wax' | 'white-wax' | 'pen-middles' | 'pen-edges';

/** How the sheet was taken: whole, in two overlapping pictures, or rubbed on two overlapping sheets. */
export type Pictures = 'one' | 'two-photographs' | 'two-sheets' | 'two-scans';

/** Folder name of a case. */
export const caseName = (recipe: CaseRecipe): string =>
  [
    recipe.number,
    recipe.style,
    recipe.quality,
    ...(recipe.plate ? ['plate'] : []),
    ...(recipe.outside && !recipe.plate ? ['outside'] : []),
    ...(recipe.bulge ? ['bulge'] : []),
    ...(recipe.medium && recipe.medium !== 'wax' ? [recipe.medium] : []),
    ...(recipe.pictures && recipe.pictures !== 'one' ? [recipe.pictures] : []),
    ...(recipe.foil ? ['foil'] : []),
    ...(recipe.openEnds ? ['open-ends'] : []),
    ...(recipe.straps ? ['straps'] : []),
  ].join('-');
