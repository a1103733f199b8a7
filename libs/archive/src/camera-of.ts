/** Which camera and lens took a picture, as the picture's own data name them. */

export interface Camera {
  /** make, model and lens, e.g. 'Maker Model · lens name' */
  readonly camera: string;
  readonly focalLengthMm: number;
}

/** Two pictures by the same lens may state its length rounded differently. */
const SAME_FOCAL_RATIO = 0.01;

/** @param exif as a media row keeps it; null for a scan or a picture without such data */
export function cameraOf(exif: unknown): Camera | null {
  const open = (exif as { open?: Record<string, unknown> } | null)?.open;
  if (open === undefined) return null;
  const { Make, Model, LensModel, FocalLength } = open;
  if (typeof Model !== 'string' || Model === '') return null;
  if (typeof FocalLength !== 'number' || !(FocalLength > 0)) return null;
  const make = typeof Make === 'string' && !Model.startsWith(Make) ? `${Make} ` : '';
  const lens = typeof LensModel === 'string' && LensModel !== '' ? ` · ${LensModel}` : '';
  return { camera: `${make}${Model}${lens}`.trim(), focalLengthMm: FocalLength };
}

/** Whether two pictures were taken at one focal length. */
export function isSameFocalLength(aMm: number, bMm: number): boolean {
  return Math.abs(aMm / bMm - 1) <= SAME_FOCAL_RATIO;
}
