/** How a picture lies on the panel, and the way from a place on the panel to its pixel. */
import type { FlattenReport } from '#libs/net';
import { type Homography, project } from './homography.js';
import { distort, type Lens } from './lens.js';

export interface Flattening {
  /** Panel millimetres → image pixels without lens distortion; apply `lens` afterwards. */
  readonly imageFromPanel: Homography;
  readonly lens: Lens;
  /** Box in panel millimetres worth looking at: minX, minY, maxX, maxY. */
  readonly extentMm: readonly [number, number, number, number];
  /** Mean scale of the image over that box. */
  readonly imagePxPerMm: number;
  /** The marks as found in the picture (lens distortion included) and where they lie in the sheet's frame. */
  readonly marks: readonly FoundMark[];
  readonly report: FlattenReport;
}

export interface FoundMark {
  readonly name: string;
  readonly imageXyPx: readonly [number, number];
  readonly panelXyMm: readonly [number, number];
}

/** Image pixel of a place on the panel. */
export function imageXyPx(f: Flattening, xMm: number, yMm: number): [number, number] {
  const [u, v] = project(f.imageFromPanel, xMm, yMm);
  return f.lens.k1 === 0 && f.lens.k2 === 0 ? [u, v] : distort(f.lens, u, v);
}
