import { z } from 'zod';
import { Problem } from '#libs/problem';
import { checkConditionClass } from '#libs/vocabulary';
import { defineCommand } from '../command.js';
import { checkedEdtf, happenedSchema } from '../happened.js';
import { panelPlace, siteOf } from '../place.js';
import { idSchema, noteText } from '../shapes.js';
import { changeRows, findRow, putRow } from '../tables.js';
import type { Tx } from '../tx.js';
import { unknown } from '../unknown.js';
import { conditionClassSchema, conditionView } from '../views/condition-view.js';
import { takeBack, takenBack } from './take-back.js';

export const recordConditionBody = z.strictObject({
  conditionClass: conditionClassSchema,
  reason: noteText.describe('what was seen; for the two others why nobody looked'),
  happened: happenedSchema.describe('when somebody looked, or could not, EDTF'),
});

/**
 * A person's judgement of a panel on one day. A survey of earlier years may be recorded after one of
 * today: the later day stands, not the later entry. Only a person sets a class, none is computed.
 */
export const recordCondition = defineCommand({
  type: 'condition.record',
  body: recordConditionBody.extend({ panelId: idSchema }),
  role: 'recorder',
  target: 'panel',
  status: 201,
  siteOf: ({ panelId }, tx) => siteOf(tx, 'panel', panelId),
  async decide({ panelId, conditionClass, reason, happened }, ctx) {
    checkConditionClass({ conditionClass, observer: ctx.actorId, happened, observations: 1 });
    const place = await panelPlace(ctx.tx, panelId);
    return {
      log: { siteId: place.siteId },
      subject: place.fullMark,
      happened: checkedEdtf(happened),
      payload: { conditionId: ctx.newId(), panelId, conditionClass, reason },
    };
  },
  async project(entry, tx) {
    const { conditionClass, ...said } = entry.payload;
    await putRow(tx, 'condition', {
      siteId: entry.siteId!,
      ...said,
      conditionClass: String(conditionClass),
      observerId: entry.actorId,
      happened: entry.happened!,
      state: 'recorded',
      withdrawnSeq: null,
      entrySeq: entry.seq,
      recordedAt: entry.recordedAt,
      version: entry.seq,
      surveyId: null,
      urgency: null,
      recommendation: null,
    });
  },
  answer: ({ payload }, tx) => answered(tx, payload.conditionId),
});

export const withdrawConditionBody = z.strictObject({ reason: noteText });

/** Takes a class back that was said in error; the day before it stands again. */
export const withdrawCondition = defineCommand({
  type: 'condition.withdraw',
  body: withdrawConditionBody.extend({ conditionId: idSchema }),
  role: 'recorder',
  target: 'condition',
  siteOf: ({ conditionId }, tx) => siteOf(tx, 'condition', conditionId),
  async decide({ conditionId, reason }, ctx) {
    const row = await findRow(ctx.tx, 'condition', { conditionId });
    if (row === undefined) throw unknown('condition');
    if (row.state !== 'recorded') {
      throw new Problem(
        'condition-closed',
        'This condition class is withdrawn already. Record a new one if it is to stand.',
      );
    }
    const place = await panelPlace(ctx.tx, row.panelId);
    return takeBack(ctx, row, { subject: place.fullMark, payload: { conditionId, reason } });
  },
  async project(entry, tx) {
    const { conditionId } = entry.payload;
    await changeRows(tx, 'condition', { conditionId }, takenBack(entry));
  },
  answer: ({ payload }, tx) => answered(tx, payload.conditionId),
});

async function answered(tx: Tx, conditionId: string) {
  return conditionView((await findRow(tx, 'condition', { conditionId }))!);
}
