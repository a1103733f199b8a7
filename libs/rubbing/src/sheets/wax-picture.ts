/** The wax of one sheet as it is compared with another sheet's: even in level, at a coarse scale, with its mask. */
import { gaussianBlur, makePlane, type Plane, shrink } from '#libs/raster';

/** Wax of one flattened sheet in the sheet's own frame. */
export interface WaxSheet {
  readonly density: Plane;
  readonly pxPerMm: number;
  /** Place of the centre of pixel (0, 0). */
  readonly originMm: readonly [number, number];
  /** 1 where the picture shows the sheet; absent: everywhere. */
  readonly seen?: Uint8Array;
}

export interface WaxPicture {
  readonly pxPerMm: number;
  readonly originMm: readonly [number, number];
  /** Zero-mean at the scale of pieces; 0 where not seen. */
  readonly wax: Plane;
  /** 1 where seen. */
  readonly mask: Plane;
}

/** Detail finer than this differs between two rubbings of one lead (grain, hatching), coarser is pressure. */
const FINE_MM = 1.2;
const COARSE_MM = 14;

/** At about 1 px/mm. */
export function waxPicture(sheet: WaxSheet): WaxPicture {
  const k = Math.max(1, Math.round(sheet.pxPerMm));
  const small = shrink(sheet.density, k);
  const mask = makePlane(small.width, small.height);
  for (let y = 0; y < small.height; y++) {
    for (let x = 0; x < small.width; x++) {
      const at = (y * k + (k >> 1)) * sheet.density.width + x * k + (k >> 1);
      mask.data[y * small.width + x] = sheet.seen === undefined ? 1 : sheet.seen[at]!;
    }
  }
  const pxPerMm = sheet.pxPerMm / k;
  const fine = blurWithin(small, mask, FINE_MM * pxPerMm);
  const coarse = blurWithin(small, mask, COARSE_MM * pxPerMm);
  const wax = makePlane(small.width, small.height);
  for (let i = 0; i < wax.data.length; i++) {
    wax.data[i] = mask.data[i]! * (fine.data[i]! - coarse.data[i]!);
  }
  const half = (k - 1) / 2 / sheet.pxPerMm;
  return {
    pxPerMm,
    originMm: [sheet.originMm[0] + half, sheet.originMm[1] + half],
    wax,
    mask,
  };
}

/** The same at a k-th of the scale. */
export function coarser(picture: WaxPicture, k: number): WaxPicture {
  const half = (k - 1) / 2 / picture.pxPerMm;
  return {
    pxPerMm: picture.pxPerMm / k,
    originMm: [picture.originMm[0] + half, picture.originMm[1] + half],
    wax: shrink(picture.wax, k),
    mask: shrink(picture.mask, k),
  };
}

/** Blur that counts only what is seen, so that an edge of the sheet makes no step. */
function blurWithin(plane: Plane, mask: Plane, sigmaPx: number): Plane {
  const seen = makePlane(plane.width, plane.height);
  for (let i = 0; i < seen.data.length; i++) seen.data[i] = plane.data[i]! * mask.data[i]!;
  const sum = gaussianBlur(seen, sigmaPx);
  const share = gaussianBlur(mask, sigmaPx);
  for (let i = 0; i < sum.data.length; i++) sum.data[i]! /= Math.max(1e-3, share.data[i]!);
  return sum;
}
