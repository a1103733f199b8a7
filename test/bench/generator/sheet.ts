/** A rectangle in panel mm. */
export interface Extent {
  leftMm: number;
  topMm: number;
  widthMm: number;
  heightMm: number;
}

/** The paper: its extent in panel mm and its raster. */
export interface Sheet extends Extent {
  pxPerMm: number;
  widthPx: number;
  heightPx: number;
}

export function makeSheet(
  sizeMm: readonly [number, number],
  marginsMm: readonly [number, number, number, number],
  pxPerMm: number,
): Sheet {
  const [left, top, right, bottom] = marginsMm;
  const widthMm = sizeMm[0] + left + right;
  const heightMm = sizeMm[1] + top + bottom;
  return {
    leftMm: -left,
    topMm: -top,
    widthMm,
    heightMm,
    pxPerMm,
    widthPx: Math.round(widthMm * pxPerMm),
    heightPx: Math.round(heightMm * pxPerMm),
  };
}
