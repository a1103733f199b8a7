import { z } from 'zod';
import { Problem } from '#libs/problem';
import { cameraOf } from '../camera-of.js';
import { defineCommand } from '../command.js';
import { siteOf, sitePlace } from '../place.js';
import { idSchema } from '../shapes.js';
import { findRow, putRow } from '../tables.js';
import { unknown } from '../unknown.js';
import { lensCalibrationView } from '../views/lens-calibration-view.js';

export const LENS_CALIBRATE_QUEUE = 'lens.calibrate';

export const askLensCalibrationBody = z.strictObject({
  mediaId: idSchema.describe('photograph of the printed target sheet, straight from the camera'),
});

/** Asks for the lens of the camera that took this photograph of the target sheet. */
export const askLensCalibration = defineCommand({
  type: 'lens.ask-calibration',
  body: askLensCalibrationBody,
  role: 'recorder',
  target: 'media',
  status: 202,
  siteOf: ({ mediaId }, tx) => siteOf(tx, 'media', mediaId),
  async decide({ mediaId }, ctx) {
    const media = await findRow(ctx.tx, 'media', { mediaId });
    if (media === undefined) throw unknown('media');
    if (cameraOf(media.exif) === null || media.widthPx === null) {
      throw new Problem(
        'camera-unknown',
        'The photograph does not say which camera took it and at which focal length. Send the file as the camera wrote it, not one that passed through a messenger or an editor.',
        { field: 'mediaId' },
      );
    }
    const { siteMark } = await sitePlace(ctx.tx, media.siteId);
    const payload = { calibrationId: ctx.newId(), mediaId, jobId: ctx.newId() };
    return {
      log: { siteId: media.siteId },
      subject: siteMark,
      happened: null,
      payload,
      jobs: [
        {
          queue: LENS_CALIBRATE_QUEUE,
          jobId: payload.jobId,
          siteId: media.siteId,
          subject: siteMark,
          data: { ...payload, askedBy: ctx.actorId },
        },
      ],
    };
  },
  project: () => Promise.resolve(),
  answer: ({ payload: { calibrationId, jobId } }) => Promise.resolve({ calibrationId, jobId }),
});

/** What the worker found; it holds for every picture by the same camera and lens. */
export const keepLensCalibration = defineCommand({
  type: 'lens.keep-calibration',
  body: z.strictObject({
    calibrationId: idSchema,
    mediaId: idSchema,
    k1: z.number(),
    k2: z.number(),
    sigmaK1: z.number().min(0),
    tags: z.int().min(1),
    rmsPx: z.number().min(0),
    reach: z.number().min(0),
    widthPx: z.int().min(1),
    heightPx: z.int().min(1),
  }),
  role: 'recorder',
  target: 'media',
  status: 201,
  siteOf: ({ mediaId }, tx) => siteOf(tx, 'media', mediaId),
  async decide(found, ctx) {
    const media = await findRow(ctx.tx, 'media', { mediaId: found.mediaId });
    if (media === undefined) throw unknown('media');
    const { camera, focalLengthMm } = cameraOf(media.exif)!;
    return {
      log: { siteId: media.siteId },
      subject: (await sitePlace(ctx.tx, media.siteId)).siteMark,
      happened: null,
      payload: { ...found, camera, focalLengthMm },
    };
  },
  async project({ payload, siteId, recordedAt, seq }, tx) {
    await putRow(tx, 'lens_calibration', {
      siteId: siteId!,
      ...payload,
      recordedAt,
      version: seq,
    });
  },
  answer: async ({ payload: { calibrationId } }, tx) =>
    lensCalibrationView((await findRow(tx, 'lens_calibration', { calibrationId }))!),
});
