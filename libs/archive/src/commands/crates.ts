import { z } from 'zod';
import { Problem } from '#libs/problem';
import { defineCommand } from '../command.js';
import { sitePlace } from '../place.js';
import { idSchema, noteText } from '../shapes.js';
import { findRow, findRows, putRow } from '../tables.js';
import { crateLimitsSchema, crateView } from '../views/custody-view.js';

export const addCrateBody = z.strictObject({
  mark: z.string().trim().min(1).max(24).describe('what is written on the crate: 3, or north 2'),
  slots: z.int().min(1).max(200).describe('how many panels stand in it side by side'),
  limits: crateLimitsSchema.default({}),
  note: noteText.optional(),
});

/** A crate is known by what is written on it; at one site no two bear the same. */
export const addCrate = defineCommand({
  type: 'crate.add',
  body: addCrateBody.extend({ siteId: idSchema }),
  role: 'recorder',
  target: 'site',
  status: 201,
  siteOf: async ({ siteId }, tx) => (await sitePlace(tx, siteId)).siteId,
  async decide({ siteId, mark, slots, limits, note }, ctx) {
    const { siteMark } = await sitePlace(ctx.tx, siteId);
    if ((await findRows(ctx.tx, 'crate', { siteId, mark })).length > 0)
      throw new Problem(
        'crate-exists',
        `mark: there is a crate ${mark} at ${siteMark} already. Write something else on this one.`,
        { field: 'mark' },
      );
    return {
      log: { siteId },
      subject: siteMark,
      happened: null,
      payload: { crateId: ctx.newId(), mark, slots, limits, note: note ?? null },
    };
  },
  async project(entry, tx) {
    await putRow(tx, 'crate', {
      siteId: entry.siteId!,
      ...entry.payload,
      entrySeq: entry.seq,
      recordedAt: entry.recordedAt,
      version: entry.seq,
    });
  },
  answer: async ({ payload: { crateId } }, tx) =>
    crateView((await findRow(tx, 'crate', { crateId }))!),
});
