import { z } from 'zod';
import { defineCommand } from '../command.js';
import { checkedEdtf, happenedSchema } from '../happened.js';
import { panelPlace, siteOf } from '../place.js';
import { makeFindable } from '../search-row.js';
import { idSchema, noteText } from '../shapes.js';
import { changeRows, findRow } from '../tables.js';
import { panelView } from '../views/panel-view.js';
import { sizesSchema, WORK_STATES } from '../views/window-view.js';
import { lastEntryAbout } from './superseded.js';

export const describePanelBody = z
  .strictObject({
    sizes: sizesSchema.optional().describe('each size that is given replaces the one before'),
    workState: z.enum(WORK_STATES).optional(),
    shows: noteText.nullable().optional().describe('what the panel shows'),
    happened: happenedSchema.optional(),
  })
  .refine(
    ({ sizes, workState, shows }) =>
      sizes !== undefined || workState !== undefined || shows !== undefined,
    'give at least one of sizes, workState, shows',
  );

export const describePanel = defineCommand({
  type: 'panel.describe',
  body: describePanelBody.safeExtend({ panelId: idSchema }),
  role: 'recorder',
  target: 'panel',
  siteOf: ({ panelId }, tx) => siteOf(tx, 'panel', panelId),
  async decide({ panelId, sizes, workState, shows, happened }, ctx) {
    const place = await panelPlace(ctx.tx, panelId);
    ctx.expectVersion(place.version);
    const row = (await findRow(ctx.tx, 'panel', { panelId }))!;
    return {
      log: { siteId: place.siteId },
      subject: place.fullMark,
      happened: checkedEdtf(happened),
      payload: {
        panelId,
        sizes: { ...(row.sizes as object), ...sizes },
        workState: workState ?? row.workState,
        shows: shows === undefined ? row.shows : shows,
      },
      ...(await lastEntryAbout(ctx.tx, place.siteId, place.fullMark, ['panel.describe'])),
    };
  },
  async project(entry, tx) {
    const { panelId, ...changes } = entry.payload;
    await changeRows(tx, 'panel', { panelId }, { ...changes, version: entry.seq });
    const place = await panelPlace(tx, panelId);
    await makeFindable(tx, entry, {
      kind: 'panel',
      rowId: panelId,
      subject: place.fullMark,
      windowMark: place.windowMark,
      title: place.fullMark,
      text: [changes.shows],
      facts: { shows: [changes.shows] },
    });
  },
  async answer({ payload: { panelId } }, tx) {
    const place = await panelPlace(tx, panelId);
    return panelView((await findRow(tx, 'panel', { panelId }))!, place.fullMark);
  },
});
