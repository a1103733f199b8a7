import { Problem } from '#libs/problem';
import { defineCommand } from '../command.js';
import { checkedEdtf } from '../happened.js';
import { sitePlace } from '../place.js';
import { idSchema, markText } from '../shapes.js';
import { checkedSubjects } from '../subjects.js';
import { findRow, putRow } from '../tables.js';
import { backgroundSchema, backgroundView } from '../views/background-view.js';

export const describeBackgroundBody = backgroundSchema.extend({
  mark: markText.describe('site, window, panel or piece: SLM, wI, wI.2b'),
});

/** What is known of a place; the whole of it each time, what was said before stays in the ledger. */
export const describeBackground = defineCommand({
  type: 'background.describe',
  body: describeBackgroundBody.extend({ siteId: idSchema }),
  role: 'recorder',
  target: 'site',
  siteOf: async ({ siteId }, tx) => (await sitePlace(tx, siteId)).siteId,
  async decide({ siteId, mark: claimed, ...said }, ctx) {
    const [mark] = await checkedSubjects(ctx.tx, siteId, [claimed], 'mark');
    checkedEdtf(said.made?.happened, 'made.happened');
    const before = await findRow(ctx.tx, 'background', { siteId, mark: mark! });
    if (before !== undefined) ctx.expectVersion(before.version);
    else if (Object.keys(said).length === 0)
      throw new Problem('request-invalid', 'Say at least one thing that is known of it.');
    return {
      log: { siteId },
      subject: mark!,
      happened: null,
      payload: { mark: mark!, said },
      ...(before === undefined ? {} : { supersedes: { seq: Number(before.entrySeq) } }),
    };
  },
  async project(entry, tx) {
    await putRow(tx, 'background', {
      siteId: entry.siteId!,
      ...entry.payload,
      saidBy: entry.actorId,
      entrySeq: entry.seq,
      recordedAt: entry.recordedAt,
      version: entry.seq,
    });
  },
  answer: async ({ siteId, payload: { mark } }, tx) =>
    backgroundView((await findRow(tx, 'background', { siteId: siteId!, mark }))!),
});
