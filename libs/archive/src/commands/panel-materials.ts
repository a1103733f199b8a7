import { defineCommand } from '../command.js';
import { checkedEdtf, happenedSchema } from '../happened.js';
import { panelPlace, siteOf } from '../place.js';
import { idSchema } from '../shapes.js';
import { findRow, putRow } from '../tables.js';
import { panelMaterialsSchema, panelMaterialsView } from '../views/panel-materials-view.js';

export const describeMaterialsBody = panelMaterialsSchema.extend({
  happened: happenedSchema.optional().describe('when it was gauged and weighed, EDTF'),
});

/** What one panel is made of; the whole of it each time, the statement before stays in the ledger. */
export const describeMaterials = defineCommand({
  type: 'panel.materials',
  body: describeMaterialsBody.extend({ panelId: idSchema }),
  role: 'recorder',
  target: 'panel',
  siteOf: ({ panelId }, tx) => siteOf(tx, 'panel', panelId),
  async decide({ panelId, happened, ...said }, ctx) {
    const place = await panelPlace(ctx.tx, panelId);
    const before = await findRow(ctx.tx, 'panel_materials', { panelId });
    if (before !== undefined) ctx.expectVersion(before.version);
    return {
      log: { siteId: place.siteId },
      subject: place.fullMark,
      happened: checkedEdtf(happened),
      payload: { panelId, said },
      ...(before === undefined ? {} : { supersedes: { seq: Number(before.entrySeq) } }),
    };
  },
  async project(entry, tx) {
    await putRow(tx, 'panel_materials', {
      siteId: entry.siteId!,
      panelId: entry.payload.panelId,
      said: entry.payload.said,
      happened: entry.happened,
      entrySeq: entry.seq,
      recordedAt: entry.recordedAt,
      version: entry.seq,
    });
  },
  answer: async ({ payload: { panelId } }, tx) =>
    panelMaterialsView((await findRow(tx, 'panel_materials', { panelId }))!),
});
