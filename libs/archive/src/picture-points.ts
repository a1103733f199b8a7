import type { XyMm } from '#libs/net';
import { Problem } from '#libs/problem';
import { applyHomography, type Homography, invertHomography } from '#libs/register';
import { findRow } from './tables.js';
import type { Tx } from './tx.js';

/** Farther from the panel's origin than this is not on any panel. */
const FAR_MM = 100_000;

/**
 * Points of a picture in the panel's frame, by the picture's placement.
 *
 * @throws {Problem} `picture-unplaced`; `geometry-invalid` for a point that is not on the panel
 */
export async function panelPoints(
  tx: Tx,
  panelId: string,
  mediaId: string,
  xyPx: readonly (readonly [number, number])[],
): Promise<XyMm[]> {
  const placement = await findRow(tx, 'placement', { panelId, mediaId });
  if (placement === undefined) {
    throw new Problem(
      'picture-unplaced',
      'mediaId: this picture is not laid under the panel yet. Tap four or more matching points first.',
      { field: 'mediaId' },
    );
  }
  const panelFromImage = invertHomography(placement.imageFromPanel as unknown as Homography);
  return xyPx.map((pointPx) => {
    const [xMm, yMm] = applyHomography(panelFromImage, pointPx);
    if (!(Math.hypot(xMm, yMm) < FAR_MM)) {
      throw new Problem(
        'geometry-invalid',
        `The point ${pointPx.join(', ')} of the picture is not on the panel. Draw inside it.`,
        { field: 'xyPx' },
      );
    }
    return [micron(xMm), micron(yMm)];
  });
}

function micron(mm: number): number {
  return Math.round(mm * 1000) / 1000 + 0;
}
