import { cameraOf, findRows, isSameLens, type MediaRow, type Tx } from '#libs/archive';
import type { RubbingImage } from '#libs/rubbing';

/** The newest calibration of the camera and lens that took a picture; those of its own site first. */
export async function knownLens(
  tx: Tx,
  { exif, siteId, widthPx, heightPx }: MediaRow,
): Promise<NonNullable<RubbingImage['lens']> | null> {
  const taken = cameraOf(exif);
  if (taken === null || widthPx === null || heightPx === null) return null;
  const { camera, focalLengthMm } = taken;
  const rows = await findRows(tx, 'lens_calibration', { camera }, 'ORDER BY recorded_at DESC');
  const fitting = rows.filter((row) => isSameLens(row, { focalLengthMm, widthPx, heightPx }));
  const found = fitting.find((row) => row.siteId === siteId) ?? fitting[0];
  if (found === undefined) return null;
  return {
    k1: found.k1,
    ...(found.k2 === null ? {} : { k2: found.k2 }),
    ...(found.k1Sigma === null ? {} : { sigmaK1: found.k1Sigma }),
    source: `calibration of ${camera} at ${focalLengthMm} mm, ${found.recordedAt.toISOString().slice(0, 10)}`,
  };
}
