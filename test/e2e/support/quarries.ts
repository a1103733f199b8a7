import { lozengeSketch } from '#libs/net';

/** Quarries of 100 × 140 mm, 3 × 3, in a frame of 10 mm came; the edge over the came. */
export const quarries = lozengeSketch({
  columns: 3,
  rows: 3,
  widthMm: 100,
  heightMm: 140,
  faceWidthMm: 6,
  outerFaceMm: 10,
});
