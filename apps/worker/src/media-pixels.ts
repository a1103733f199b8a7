import { findRow, type MediaRow } from '#libs/archive';
import { withLocalFile } from '#libs/objects';
import { Problem } from '#libs/problem';
import type { WorkerPorts } from './worker-job.js';

/**
 * Decodes a picture of the archive into a file of bare pixels: widthPx × heightPx × 3 bytes, sRGB, upright.
 *
 * @param path where the file is made; it is the caller's to remove
 * @throws {Problem} `media-unknown`, and what the decoder says of a picture that it cannot read
 */
export async function mediaPixels(
  { archive, objects, imaging, scratchFolder }: WorkerPorts,
  mediaId: string,
  path: string,
): Promise<{ media: MediaRow; widthPx: number; heightPx: number }> {
  const media = await findRow(archive.reads, 'media', { mediaId });
  if (media === undefined) throw new Problem('media-unknown', `There is no media ${mediaId}.`);
  const size = await withLocalFile(objects, media.digest, scratchFolder, (original) =>
    imaging.rgbFile(original, path),
  );
  return { media, ...size };
}
