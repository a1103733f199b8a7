import type { RenderPlan } from '#libs/imaging';

/** Place of a tile in a pyramid. `widthPx × heightPx` is smaller than a tile at the far edges. */
export interface AlignedTile {
  level: number;
  column: number;
  row: number;
  widthPx: number;
  heightPx: number;
}

/**
 * The stored tile that answers a request as it is: a JPEG, upright, its region on the grid of a power of
 * two, its size the region's divided by it and rounded up (IIIF Image 3.0, implementation
 * notes on tiles).
 *
 * @param picture full size, pixels
 */
export function alignedTile(
  plan: RenderPlan,
  picture: { widthPx: number; heightPx: number },
  tilePx: number,
  levels: number,
): AlignedTile | undefined {
  const { region } = plan;
  const isPlain =
    plan.format === 'jpg' &&
    plan.rotationDeg === 0 &&
    !plan.mirrored &&
    (plan.quality === 'default' || plan.quality === 'color');
  if (!isPlain) return undefined;
  for (let level = 0; level < levels; level++) {
    const scale = 2 ** level;
    const span = tilePx * scale;
    if (region.x % span !== 0 || region.y % span !== 0) return undefined; // nor on a coarser grid
    const widthPx = Math.ceil(region.widthPx / scale);
    const heightPx = Math.ceil(region.heightPx / scale);
    if (
      region.widthPx === Math.min(span, picture.widthPx - region.x) &&
      region.heightPx === Math.min(span, picture.heightPx - region.y) &&
      plan.widthPx === widthPx &&
      plan.heightPx === heightPx
    ) {
      return { level, column: region.x / span, row: region.y / span, widthPx, heightPx };
    }
  }
  return undefined;
}
