/** What a lens does to a flat sheet: rays bent towards or away from the middle of the picture. */

/**
 * Radial model: distorted = centre + d (1 + k1 q + k2 q²), q = |d|² / r0², d from the centre of the picture, r0 half its
 * diagonal, so that k1 holds for the same camera at any size of the same picture.
 * Source: the first two radial terms of D. C. Brown, Decentering distortion of lenses, 1966, from memory.
 */
export interface Lens {
  readonly k1: number;
  readonly k2: number;
  readonly centreX: number;
  readonly centreY: number;
  readonly r0: number;
}

export function lensOf(
  image: { readonly widthPx: number; readonly heightPx: number },
  k1: number,
  k2 = 0,
): Lens {
  return {
    k1,
    k2,
    centreX: (image.widthPx - 1) / 2,
    centreY: (image.heightPx - 1) / 2,
    r0: Math.hypot(image.widthPx, image.heightPx) / 2,
  };
}

/** Where the lens puts what a perfect one would put at (x, y), pixels. */
export function distort(lens: Lens, x: number, y: number): [number, number] {
  const dx = x - lens.centreX;
  const dy = y - lens.centreY;
  const q = (dx * dx + dy * dy) / (lens.r0 * lens.r0);
  const f = 1 + q * (lens.k1 + lens.k2 * q);
  return [lens.centreX + dx * f, lens.centreY + dy * f];
}

/** Inverse of {@link distort} by fixed-point iteration; converges for |k1| below about 0.2. */
export function undistort(lens: Lens, x: number, y: number): [number, number] {
  const dx = x - lens.centreX;
  const dy = y - lens.centreY;
  let ux = dx;
  let uy = dy;
  for (let i = 0; i < 12; i++) {
    const q = (ux * ux + uy * uy) / (lens.r0 * lens.r0);
    const f = 1 + q * (lens.k1 + lens.k2 * q);
    ux = dx / f;
    uy = dy / f;
  }
  return [lens.centreX + ux, lens.centreY + uy];
}
