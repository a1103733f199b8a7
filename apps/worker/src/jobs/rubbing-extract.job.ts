import { randomUUID } from 'node:crypto';
import { createReadStream } from 'node:fs';
import { rm } from 'node:fs/promises';
import { join } from 'node:path';
import { z } from 'zod';
import { findRow, storeExtractedNet } from '#libs/archive';
import { type ObjectStore, withLocalFile } from '#libs/objects';
import { Problem } from '#libs/problem';
import { type ReadRubbing, readRubbingInThread } from '../read-rubbing.js';
import type { WorkerJob, WorkerPorts } from '../worker-job.js';

const payloadSchema = z.object({
  jobId: z.uuid(),
  rubbingId: z.uuid(),
  siteId: z.uuid(),
  panelId: z.uuid(),
  mediaId: z.uuid(),
  // checked by the command that asked, and again by the function that reads the sheet
  control: z.record(z.string(), z.unknown()),
  taps: z.array(z.tuple([z.number(), z.number()])),
  askedBy: z.uuid(),
});

/** Share of the whole that the steps took on a 24 MP picture; only for the bar on the screen. */
const DECODED_RATIO = 0.1;
const READ_RATIO = 0.9;

/**
 * Reads the picture of a rubbing and stores what it shows as the panel's next lead drawing. Run
 * again it stores nothing new: the command's key is the job.
 */
export const rubbingExtract: WorkerJob = {
  queue: 'rubbing.extract',
  async run(data, ports, run) {
    const payload = payloadSchema.safeParse(data);
    if (!payload.success) throw new Problem('request-invalid', payload.error.message);
    const { rubbingId, panelId, mediaId, control, taps, askedBy } = payload.data;
    const { reads } = ports.archive;
    const media = await findRow(reads, 'media', { mediaId });
    if (media === undefined) throw new Problem('media-unknown', `There is no media ${mediaId}.`);
    const rubbing = await findRow(reads, 'rubbing', { rubbingId });
    const sheet = rubbing?.sheet as { face?: string; layer?: string } | null | undefined;

    run.progress('reading the picture', 0);
    const picture = await withLocalFile(ports.objects, media.digest, ports.scratchFolder, (path) =>
      ports.imaging.rgbPixels(path),
    );
    run.signal.throwIfAborted();
    run.progress('reading the wax', DECODED_RATIO);
    const read = await readRubbingInThread(
      {
        pictures: [{ picture, control, taps }],
        face: sheet?.face === 'outside' ? 'outside' : 'inside',
        layer: sheet?.layer === 'back' ? 'back' : 'front',
      },
      ports.rubbingThread,
      (stage, ratio) => {
        run.progress(stage, DECODED_RATIO + ratio * (READ_RATIO - DECODED_RATIO));
      },
      run.signal,
    );
    run.progress('storing', READ_RATIO);
    const rectified = await storeRectified(read, ports);
    const { answer } = await ports.archive.run(
      storeExtractedNet,
      { panelId, rubbingId, mediaId, net: read.net, rectified, placement: placementOf(read) },
      { actorId: askedBy, idempotencyKey: `job/${run.jobId}` },
    );
    return { panelId, revision: answer.revision };
  },
};

/** As the command stores it: a mark's name stays with the drawing's own report. */
function placementOf({ placements: [placement] }: ReadRubbing) {
  if (placement === undefined || placement === null) return null;
  const { imageFromPanel, points, rmsMm } = placement;
  return {
    imageFromPanel: [...imageFromPanel],
    points: points.map(({ imageXyPx, panelXyMm, residualMm }) => ({
      imageXyPx: [...imageXyPx],
      panelXyMm: [...panelXyMm],
      residualMm,
    })),
    rmsMm,
  };
}

async function storeRectified({ rectified }: ReadRubbing, ports: WorkerPorts) {
  const { widthPx, heightPx, imageFromPanel } = rectified;
  const outPath = join(ports.scratchFolder, randomUUID());
  try {
    await ports.imaging.greyJpeg(rectified, outPath);
    const stored = await putFileOf(ports.objects, outPath);
    return { ...stored, widthPx, heightPx, imageFromPanel };
  } finally {
    await rm(outPath, { force: true });
  }
}

function putFileOf(objects: ObjectStore, path: string) {
  return objects.put(createReadStream(path));
}
