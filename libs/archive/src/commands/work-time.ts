import { z } from 'zod';
import { Problem } from '#libs/problem';
import { defineCommand } from '../command.js';
import { checkedEdtf, happenedSchema } from '../happened.js';
import { siteOf } from '../place.js';
import { idSchema, noteText, shortText } from '../shapes.js';
import { findRow, putRow } from '../tables.js';
import { workTimeView } from '../views/work-time-view.js';
import { presentPerson } from './person-rows.js';

export const recordWorkTimeBody = z.strictObject({
  minutes: z.int().min(1).max(60_000),
  task: shortText.describe('key of an operation, or what else was done: drawing, travel, …'),
  interventionId: idSchema.optional().describe('the work that it was for'),
  personId: idSchema.optional().describe('who worked; without it whoever records'),
  happened: happenedSchema,
  note: noteText.optional(),
});

/** Time that work took. It speaks of no mark, so that a dossier that is handed out gives its leaf hash only. */
export const recordWorkTime = defineCommand({
  type: 'work-time.record',
  body: recordWorkTimeBody.extend({ campaignId: idSchema }),
  role: 'recorder',
  target: 'campaign',
  status: 201,
  siteOf: ({ campaignId }, tx) => siteOf(tx, 'campaign', campaignId),
  async decide({ campaignId, interventionId, personId, ...said }, ctx) {
    const { siteId } = (await findRow(ctx.tx, 'campaign', { campaignId }))!;
    if (personId !== undefined) await presentPerson(ctx.tx, personId);
    if (interventionId !== undefined) {
      const work = await findRow(ctx.tx, 'intervention', { interventionId });
      if (work?.siteId !== siteId) {
        throw new Problem(
          'intervention-unknown',
          'interventionId: this site has no such work. Record the work first, then its time.',
          { field: 'interventionId' },
        );
      }
    }
    return {
      log: { siteId },
      subject: null,
      happened: checkedEdtf(said.happened)!,
      payload: {
        workTimeId: ctx.newId(),
        campaignId,
        interventionId: interventionId ?? null,
        personId: personId ?? ctx.actorId,
        task: said.task,
        minutes: said.minutes,
        note: said.note ?? null,
      },
    };
  },
  async project(entry, tx) {
    await putRow(tx, 'work_time', {
      siteId: entry.siteId!,
      ...entry.payload,
      happened: entry.happened!,
      entrySeq: entry.seq,
      recordedAt: entry.recordedAt,
      version: entry.seq,
    });
  },
  answer: async ({ payload: { workTimeId } }, tx) =>
    workTimeView((await findRow(tx, 'work_time', { workTimeId }))!),
});
