/** How the wall lies on the screen, before there is a map and after. */
import type { Box } from '../drawing/plane.js';

/** screenPx = wallMm × k + t. */
export interface WallView {
  readonly k: number;
  readonly tx: number;
  readonly ty: number;
  readonly width: number;
  readonly height: number;
}

/** A view that a link tells: middle in mm, px a mm. */
export interface ToldView {
  readonly xMm: number;
  readonly yMm: number;
  readonly k: number;
}

/** Of the screen, px. */
export interface ScreenSize {
  readonly width: number;
  readonly height: number;
}

/** Nearest and farthest view, mm a px. */
export const resolutions = { minResolution: 0.125, maxResolution: 2000 } as const;

/** Names of a window and of its site, px. */
const NAMES_PX = 100;

/**
 * Room round what is flown to, px: top, right, bottom, left. For the names along the foot, and beside a
 * large drawing for the key.
 */
export function airAround(width: number): readonly [number, number, number, number] {
  const air = width < 640 ? width * 0.07 : 50;
  return [air, width < 640 ? air : air + 150, NAMES_PX, air];
}

/** The box whole, in the middle of what the air leaves: as the map itself flies to it. */
export function viewOfBox(box: Box, { width, height }: ScreenSize): WallView {
  const [top, right, bottom, left] = airAround(width);
  const { minResolution, maxResolution } = resolutions;
  const resolution = Math.min(
    maxResolution,
    Math.max(
      minResolution,
      (box.maxX - box.minX) / Math.max(1, width - left - right),
      (box.maxY - box.minY) / Math.max(1, height - top - bottom),
    ),
  );
  return viewAt(
    {
      xMm: (box.minX + box.maxX) / 2 + ((right - left) / 2) * resolution,
      yMm: (box.minY + box.maxY) / 2 + ((bottom - top) / 2) * resolution,
      k: 1 / resolution,
    },
    { width, height },
  );
}

export const viewAt = ({ xMm, yMm, k }: ToldView, { width, height }: ScreenSize): WallView => ({
  k,
  tx: width / 2 - xMm * k,
  ty: height / 2 - yMm * k,
  width,
  height,
});
