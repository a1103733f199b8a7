import type { SheetKind } from '#libs/cutting';
import type { GlassSheetRow } from '../rows.js';

const GRAIN_DEG = { 'along-height': 0, 'along-width': 90, none: null } as const;

/** A sheet of the register as libs/cutting takes it. @param count whole sheets that are there */
export function sheetKindOf(
  { materialId, widthMm, heightMm, grain, offcutOf }: GlassSheetRow,
  count: number,
): SheetKind {
  return {
    sheet: materialId,
    widthMm,
    heightMm,
    grainDeg: GRAIN_DEG[grain],
    count,
    isOffcut: offcutOf !== null,
  };
}
