import { z } from 'zod';
import { Problem } from '#libs/problem';
import { fitHomography, RegisterError, type Registration } from '#libs/register';
import { defineCommand } from '../command.js';
import { checkMedia, panelPlace, siteOf } from '../place.js';
import { idSchema, xyMmSchema, xyPxSchema } from '../shapes.js';
import { findRow, putRow } from '../tables.js';
import { placementView } from '../views/placement-view.js';
import { lastEntryAbout } from './superseded.js';

export const layPictureBody = z.strictObject({
  points: z
    .array(z.strictObject({ imageXyPx: xyPxSchema, panelXyMm: xyMmSchema }))
    .min(4, 'tap at least four matching points')
    .max(60),
});

/** Lays a picture under the panel by points tapped on both. A second time replaces the first. */
export const layPicture = defineCommand({
  type: 'placement.lay',
  body: layPictureBody.extend({ panelId: idSchema, mediaId: idSchema }),
  role: 'recorder',
  target: 'panel',
  siteOf: ({ panelId }, tx) => siteOf(tx, 'panel', panelId),
  prepare: ({ points }) => Promise.resolve(fitted(points)),
  async decide({ panelId, mediaId, points }, ctx, fit) {
    const place = await panelPlace(ctx.tx, panelId);
    await checkMedia(ctx.tx, place.siteId, [mediaId], 'mediaId');
    const before = await findRow(ctx.tx, 'placement', { panelId, mediaId });
    if (ctx.ifMatch !== undefined) ctx.expectVersion(before?.version ?? 0);
    return {
      log: { siteId: place.siteId },
      subject: place.fullMark,
      happened: null,
      payload: {
        panelId,
        mediaId,
        imageFromPanel: [...fit.imageFromPanel],
        points: points.map((point, i) => ({
          ...point,
          residualMm: micron(fit.residuals[i]!.residualMm),
        })),
        rmsMm: micron(fit.rmsMm),
        source: 'points',
      },
      ...(await lastEntryAbout(ctx.tx, place.siteId, place.fullMark, ['placement.lay'], {
        panelId,
        mediaId,
      })),
    };
  },
  async project(entry, tx) {
    await putRow(tx, 'placement', {
      siteId: entry.siteId!,
      ...entry.payload,
      version: entry.seq,
    });
  },
  answer: async ({ payload: { panelId, mediaId } }, tx) =>
    placementView((await findRow(tx, 'placement', { panelId, mediaId }))!),
});

function fitted(points: z.infer<typeof layPictureBody>['points']): Registration {
  try {
    return fitHomography(
      points.map(({ imageXyPx, panelXyMm }, i) => ({
        name: String(i + 1),
        imagePx: imageXyPx,
        panelMm: panelXyMm,
      })),
    );
  } catch (cause) {
    if (!(cause instanceof RegisterError)) throw cause;
    throw new Problem(
      'points-unusable',
      `points: ${cause.message}.`,
      { field: 'points', fault: cause.fault },
      { cause },
    );
  }
}

function micron(mm: number): number {
  return Math.round(mm * 1000) / 1000;
}
