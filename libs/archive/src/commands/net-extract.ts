import { z } from 'zod';
import { type Net, netSchema } from '#libs/net';
import { defineCommand } from '../command.js';
import { changeSentence } from '../net-summary.js';
import { checkMedia, panelPlace, siteOf } from '../place.js';
import { idSchema, noteText } from '../shapes.js';
import { getNet, inlineOrObject, putNet } from '../stored-json.js';
import { findRow } from '../tables.js';
import { unknown } from '../unknown.js';
import {
  answerNet,
  changeSince,
  decidedNet,
  projectNet,
  rectifiedSchema,
  revisionOfLayer,
  sheetPlacementSchema,
  supersededRevision,
} from './net-revision.js';

/** What the worker read from the pictures of a rubbing: the next revision, whatever the last one was. */
export const storeExtractedNet = defineCommand({
  type: 'net.extract',
  body: z.strictObject({
    panelId: idSchema,
    rubbingId: idSchema,
    mediaIds: z.array(idSchema).min(1).max(12),
    net: netSchema,
    rectified: rectifiedSchema.nullable().default(null),
    placements: z.array(sheetPlacementSchema).max(12).default([]),
    note: noteText.nullable().default(null),
  }),
  role: 'recorder',
  target: 'panel',
  status: 201,
  siteOf: ({ panelId }, tx) => siteOf(tx, 'panel', panelId),
  async prepare({ panelId, net }, { tx, objects }) {
    const row = await revisionOfLayer(tx, panelId, net.layer);
    return {
      digest: row?.objectDigest ?? null,
      change:
        row === undefined
          ? null
          : changeSentence(await getNet(objects, row.objectDigest), net as Net),
    };
  },
  async decide(body, ctx, known) {
    const place = await panelPlace(ctx.tx, body.panelId);
    await checkMedia(ctx.tx, place.siteId, body.mediaIds, 'mediaIds');
    if ((await findRow(ctx.tx, 'rubbing', { rubbingId: body.rubbingId })) === undefined) {
      throw unknown('rubbing');
    }
    // zod writes an absent optional member as `T | undefined`; the value has no such key.
    const net = body.net as Net;
    const before = await revisionOfLayer(ctx.tx, body.panelId, net.layer);
    const placements = await inlineOrObject(ctx.objects, body.placements, 'placements');
    const decided = decidedNet(
      place,
      net,
      await putNet(ctx.objects, net),
      await changeSince(ctx.objects, before, net, known),
      {
        rubbingId: body.rubbingId,
        mediaIds: body.mediaIds,
        note: body.note,
        rectified: body.rectified,
        placements: placements.object === null ? body.placements : [],
        placementsObject: placements.object?.digest ?? null,
      },
      placements.object === null ? [] : [placements.object],
    );
    return { ...decided, ...(await supersededRevision(ctx.tx, place, before)) };
  },
  project: projectNet,
  answer: answerNet,
});
