import { z } from 'zod';
import { Problem } from '#libs/problem';
import { defineCommand } from '../command.js';
import { checkMedia, panelPlace, siteOf } from '../place.js';
import type { RubbingRow } from '../rows.js';
import { idSchema, surfaceSchema } from '../shapes.js';
import { inlineOrObject } from '../stored-json.js';
import { findRow } from '../tables.js';
import { unknown } from '../unknown.js';
import { checkPictures, pictureSchema } from './rubbing-control.js';

export const RUBBING_EXTRACT_QUEUE = 'rubbing.extract';

export const askExtractionBody = z.strictObject({
  pictures: z
    .array(pictureSchema)
    .min(1)
    .max(12)
    .describe('of one rubbing: several sheets or photographs that overlap, each with its scale'),
  surface: surfaceSchema.default('developed'),
  faceWidthsInUseMm: z
    .array(z.number().min(1).max(40))
    .max(20)
    .optional()
    .describe('face widths that are known to be in the panel'),
});

/** Who measured what on the sheets stands in the ledger before the machine reads them. */
export const askExtraction = defineCommand({
  type: 'rubbing.ask-extraction',
  body: askExtractionBody.extend({ rubbingId: idSchema }),
  role: 'recorder',
  target: 'rubbing',
  status: 202,
  siteOf: ({ rubbingId }, tx) => siteOf(tx, 'rubbing', rubbingId),
  async decide({ rubbingId, pictures, surface, faceWidthsInUseMm = [] }, ctx) {
    const rubbing: RubbingRow | undefined = await findRow(ctx.tx, 'rubbing', { rubbingId });
    if (rubbing === undefined) throw unknown('rubbing');
    if ('notRubbedBecause' in (rubbing.conditions as object)) {
      throw new Problem(
        'rubbing-not-taken',
        'This record says why the panel was not rubbed. Record the rubbing with its conditions first.',
      );
    }
    checkPictures(pictures);
    await checkMedia(
      ctx.tx,
      rubbing.siteId,
      pictures.map(({ mediaId }) => mediaId),
      'pictures',
    );
    const { siteId, panelId } = rubbing;
    const place = await panelPlace(ctx.tx, panelId);
    const jobId = ctx.newId();
    const kept = await inlineOrObject(ctx.objects, pictures, 'pictures');
    const asked = { rubbingId, panelId, surface, faceWidthsInUseMm };
    return {
      log: { siteId },
      subject: place.fullMark,
      happened: null,
      payload: {
        ...asked,
        pictures: kept.object === null ? pictures : null,
        picturesObject: kept.object?.digest ?? null,
        jobId,
      },
      objects: kept.object === null ? [] : [kept.object],
      jobs: [
        {
          queue: RUBBING_EXTRACT_QUEUE,
          jobId,
          siteId,
          subject: place.fullMark,
          data: { ...asked, siteId, pictures, askedBy: ctx.actorId },
        },
      ],
    };
  },
  project: () => Promise.resolve(),
  answer: ({ payload }) => Promise.resolve({ jobId: payload.jobId }),
});
