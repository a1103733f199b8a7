import { z } from 'zod';
import { Problem } from '#libs/problem';
import { defineCommand } from '../command.js';
import { siteOf } from '../place.js';
import { idSchema, noteText } from '../shapes.js';
import { changeRows, findRow } from '../tables.js';
import { unknown } from '../unknown.js';
import { flagView } from '../views/flag-view.js';

export const answerFlagBody = z.strictObject({
  reason: noteText.describe('why it came so, and what follows from it'),
});

/**
 * A person answers for what was out of order. Whoever raised it may answer too, since a studio may be
 * one person: who it was stands in both entries. An answer is corrected by naming its version.
 */
export const answerFlag = defineCommand({
  type: 'flag.answer',
  body: answerFlagBody.extend({ flagId: idSchema }),
  role: 'conservator',
  target: 'flag',
  siteOf: ({ flagId }, tx) => siteOf(tx, 'flag', flagId),
  async decide({ flagId, reason }, ctx) {
    const row = await findRow(ctx.tx, 'flag', { flagId });
    if (row === undefined) throw unknown('flag');
    if (ctx.ifMatch !== undefined) ctx.expectVersion(row.version);
    else if (row.state === 'answered') {
      throw new Problem(
        'flag-answered',
        'Somebody answered this flag. Read the answer; to correct it send its version as If-Match.',
      );
    }
    return {
      log: { siteId: row.siteId },
      subject: row.subject,
      happened: null,
      payload: { flagId, reason },
      ...(row.answeredSeq === null ? {} : { supersedes: { seq: Number(row.answeredSeq) } }),
    };
  },
  async project(entry, tx) {
    const { flagId, reason } = entry.payload;
    await changeRows(
      tx,
      'flag',
      { flagId },
      {
        state: 'answered',
        answer: reason,
        answeredBy: entry.actorId,
        answeredSeq: entry.seq,
        answeredAt: entry.recordedAt,
        version: entry.seq,
      },
    );
  },
  answer: async ({ payload: { flagId } }, tx) => flagView((await findRow(tx, 'flag', { flagId }))!),
});
