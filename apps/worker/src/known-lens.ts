import { cameraOf, findRows, isSameFocalLength, type MediaRow, type Tx } from '#libs/archive';
import { lensFromCalibration, type RubbingImage } from '#libs/rubbing';

/** The newest calibration of the camera and lens that took a picture; those of its own site first. */
export async function knownLens(
  tx: Tx,
  { exif, siteId, widthPx, heightPx }: MediaRow,
): Promise<NonNullable<RubbingImage['lens']> | null> {
  const taken = cameraOf(exif);
  if (taken === null || widthPx === null || heightPx === null) return null;
  const { camera, focalLengthMm } = taken;
  const rows = await findRows(tx, 'lens_calibration', { camera }, 'ORDER BY recorded_at DESC');
  const own = rows.filter((row) => row.siteId === siteId);
  for (const row of [...own, ...rows]) {
    if (!isSameFocalLength(row.focalLengthMm, focalLengthMm)) continue;
    const day = row.recordedAt.toISOString().slice(0, 10);
    const source = `calibration of ${camera} at ${focalLengthMm} mm, ${day}`;
    const lens = lensFromCalibration(row, { widthPx, heightPx }, source);
    if (lens !== undefined) return lens;
  }
  return null;
}
