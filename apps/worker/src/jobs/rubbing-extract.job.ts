import { randomUUID } from 'node:crypto';
import { rm } from 'node:fs/promises';
import { join } from 'node:path';
import { z } from 'zod';
import { drawingBefore, findRow, storeExtractedNet } from '#libs/archive';
import { Problem } from '#libs/problem';
import { knownLens } from '../known-lens.js';
import { mediaPixels } from '../media-pixels.js';
import { type ReadRubbing, type RubbingRequest, readRubbingInThread } from '../read-rubbing.js';
import { keepStages, storeJpeg } from '../stage-pictures.js';
import type { JobRun, WorkerJob, WorkerPorts } from '../worker-job.js';

const payloadSchema = z.object({
  jobId: z.uuid(),
  rubbingId: z.uuid(),
  siteId: z.uuid(),
  panelId: z.uuid(),
  pictures: z
    .array(
      z.object({
        mediaId: z.uuid(),
        // checked by the command that asked, and again by the function that reads the sheet
        control: z.record(z.string(), z.unknown()),
        taps: z.array(z.tuple([z.number(), z.number()])),
      }),
    )
    .min(1),
  surface: z.enum(['developed', 'plan']),
  faceWidthsInUseMm: z.array(z.number()),
  askedBy: z.uuid(),
});

type Asked = z.infer<typeof payloadSchema>;

/** Share of the whole that the steps took on a 24 MP picture; only for the bar on the screen. */
const DECODED_RATIO = 0.1;
const READ_RATIO = 0.9;

/**
 * Reads the pictures of a rubbing and stores what they show as the panel's next lead drawing. Run
 * again it stores nothing new: the command's key is the job.
 */
export const rubbingExtract: WorkerJob = {
  queue: 'rubbing.extract',
  async run(data, ports, run) {
    const payload = payloadSchema.safeParse(data);
    if (!payload.success) throw new Problem('request-invalid', payload.error.message);
    const asked = payload.data;
    const files: string[] = [];
    try {
      const pictures = await decoded(asked, ports, run, files);
      run.progress('reading the wax', DECODED_RATIO);
      const read = await readRubbingInThread(
        await requestOf(asked, pictures, ports),
        ports.rubbingThread,
        (stage, ratio) => {
          run.progress(stage, DECODED_RATIO + ratio * (READ_RATIO - DECODED_RATIO));
        },
        run.signal,
      );
      run.progress('storing', READ_RATIO);
      return await stored(asked, read, ports, run);
    } finally {
      for (const file of files) await rm(file, { force: true });
    }
  },
};

/** Each picture into a file of bare pixels, one after another. */
async function decoded(
  { pictures }: Asked,
  ports: WorkerPorts,
  run: JobRun,
  files: string[],
): Promise<RubbingRequest['pictures']> {
  const { reads } = ports.archive;
  const out: RubbingRequest['pictures'][number][] = [];
  for (const [i, { mediaId, control, taps }] of pictures.entries()) {
    run.signal.throwIfAborted();
    run.progress(
      pictures.length === 1 ? 'reading the picture' : `reading picture ${i + 1}`,
      (DECODED_RATIO * i) / pictures.length,
    );
    const path = join(ports.scratchFolder, randomUUID());
    files.push(path);
    const { media, ...size } = await mediaPixels(ports, mediaId, path);
    const lens = await knownLens(reads, media);
    out.push({
      picture: { path, ...size, ...(lens === null ? {} : { lens }) },
      control,
      taps,
    });
  }
  return out;
}

async function requestOf(
  { rubbingId, panelId, surface, faceWidthsInUseMm }: Asked,
  pictures: RubbingRequest['pictures'],
  { archive, objects }: WorkerPorts,
): Promise<RubbingRequest> {
  const rubbing = await findRow(archive.reads, 'rubbing', { rubbingId });
  const sheet = rubbing?.sheet as { face?: string; layer?: string } | null | undefined;
  const layer = sheet?.layer === 'back' ? 'back' : 'front';
  const { numbering } = await drawingBefore(archive.reads, objects, panelId, layer);
  return {
    pictures,
    face: sheet?.face === 'outside' ? 'outside' : 'inside',
    layer,
    surface,
    faceWidthsInUseMm,
    numbering,
  };
}

async function stored(
  { panelId, rubbingId, pictures, askedBy }: Asked,
  read: ReadRubbing,
  ports: WorkerPorts,
  run: JobRun,
) {
  const { widthPx, heightPx, imageFromPanel } = read.rectified;
  const { answer } = await ports.archive.run(
    storeExtractedNet,
    {
      panelId,
      rubbingId,
      mediaIds: pictures.map(({ mediaId }) => mediaId),
      net: read.net,
      rectified: {
        ...(await storeJpeg(read.rectified, ports)),
        widthPx,
        heightPx,
        imageFromPanel,
      },
      placements: pictures.flatMap(({ mediaId }, i) => {
        const placement = read.placements[i] ?? null;
        return placement === null ? [] : [{ mediaId, ...placement }];
      }),
    },
    { actorId: askedBy, idempotencyKey: `job/${run.jobId}` },
  );
  await keepStages(answer.digest, read.stages, ports);
  return { panelId, revision: answer.revision };
}
