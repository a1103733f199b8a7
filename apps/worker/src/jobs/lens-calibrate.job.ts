import { z } from 'zod';
import { findRow, keepLensCalibration } from '#libs/archive';
import { withLocalFile } from '#libs/objects';
import { Problem } from '#libs/problem';
import { calibrateLens, type LensCalibration, RubbingError } from '#libs/rubbing';
import type { WorkerJob } from '../worker-job.js';

const payloadSchema = z.object({
  calibrationId: z.uuid(),
  mediaId: z.uuid(),
  askedBy: z.uuid(),
});

/**
 * Finds what a camera's lens bends from a photograph of the target sheet. Run again it stores
 * nothing new: the command's key is the job.
 */
export const lensCalibrate: WorkerJob = {
  queue: 'lens.calibrate',
  async run(data, { archive, objects, imaging, scratchFolder }, run) {
    const payload = payloadSchema.safeParse(data);
    if (!payload.success) throw new Problem('request-invalid', payload.error.message);
    const { calibrationId, mediaId, askedBy } = payload.data;
    const media = await findRow(archive.reads, 'media', { mediaId });
    if (media === undefined) throw new Problem('media-unknown', `There is no media ${mediaId}.`);
    run.progress('reading the picture', 0);
    const picture = await withLocalFile(objects, media.digest, scratchFolder, (path) =>
      imaging.rgbPixels(path),
    );
    run.signal.throwIfAborted();
    run.progress('looking for the tags', 0.3);
    const found = calibrated(picture);
    await archive.run(
      keepLensCalibration,
      { calibrationId, mediaId, ...found },
      { actorId: askedBy, idempotencyKey: `job/${run.jobId}` },
    );
    return { calibrationId, k1: found.k1, sigmaK1: found.sigmaK1, tags: found.tags };
  },
};

function calibrated(picture: Parameters<typeof calibrateLens>[0]): LensCalibration {
  try {
    return calibrateLens(picture);
  } catch (cause) {
    if (!(cause instanceof RubbingError)) throw cause;
    const { message, members, fault } = cause;
    throw new Problem('lens-unreadable', message, { ...members, fault }, { cause });
  }
}
