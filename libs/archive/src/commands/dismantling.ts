import { z } from 'zod';
import { profileSchema } from '#libs/net';
import { Problem } from '#libs/problem';
import { defineCommand } from '../command.js';
import { sampleName, seenSchema, seenThings } from '../custody/custody-body.js';
import { brokenOnTheWay, type CustodySeed } from '../custody/custody-flags.js';
import { answerStep, panelStep, projectStep } from '../custody/work-steps.js';
import { checkedEdtf, happenedSchema } from '../happened.js';
import { checkMedia, panelPlace, siteOf } from '../place.js';
import { idSchema, noteText, shortText } from '../shapes.js';
import { findRow, findRows } from '../tables.js';
import type { Tx } from '../tx.js';

export const gaugeReadingSchema = z.strictObject({
  widthClassMm: z.number().positive().max(60).describe('width class of the lead drawing, mm'),
  kind: z.enum(['outer', 'came']).default('came'),
  leadId: z
    .string()
    .regex(/^L[1-9]\d{0,4}$/)
    .optional()
    .describe('the lead whose end was gauged'),
  profile: profileSchema,
});

export const recordDismantlingBody = z.strictObject({
  rubbingId: idSchema.optional().describe('the working rubbing that the pieces were moved onto'),
  allPieces: z.boolean().describe('every piece of the panel lies on the rubbing'),
  seen: z
    .array(seenSchema)
    .max(500)
    .default([])
    .describe('pieces that broke, came loose or were not there'),
  putty: z
    .strictObject({
      state: z.enum(['none', 'soaked', 'dry']),
      tested: z.enum(['free-of-asbestos', 'holds-asbestos', 'not-tested']),
      with: shortText.optional(),
      hours: z.number().positive().max(1000).optional(),
    })
    .optional(),
  cameSample: z
    .discriminatedUnion('kept', [
      z.strictObject({
        kept: z.literal(true),
        name: sampleName,
        leadId: z.string().max(12).optional(),
      }),
      z.strictObject({ kept: z.literal(false), because: noteText }),
    ])
    .optional()
    .describe('a piece of the old came; where it lies is a movement of the sample'),
  gauges: z.array(gaugeReadingSchema).max(50).default([]).describe('at cut ends'),
  images: z.array(idSchema).max(50).default([]),
  note: noteText.optional(),
  happened: happenedSchema.optional(),
});

/** A panel is taken apart: pieces onto the working rubbing, what the old lead was, what the putty was. */
export const recordDismantling = defineCommand({
  type: 'dismantling.record',
  body: recordDismantlingBody.extend({ panelId: idSchema }),
  role: 'recorder',
  target: 'panel',
  status: 201,
  siteOf: ({ panelId }, tx) => siteOf(tx, 'panel', panelId),
  async decide({ panelId, images, ...body }, ctx) {
    const { happened: claimed, ...said } = body;
    const happened = checkedEdtf(claimed);
    const place = await panelPlace(ctx.tx, panelId);
    const { siteId, fullMark, netRevision } = place;
    await checkRubbing(ctx.tx, panelId, said.rubbingId);
    await checkMedia(ctx.tx, siteId, images, 'images');
    const seen = await seenThings(ctx.tx, siteId, said.seen);
    return panelStep(ctx, place, {
      happened,
      images,
      detail: { ...said, seen },
      workState: 'on-bench',
      seeds: [
        ...(netRevision === null ? await undrawn(ctx.tx, panelId, fullMark) : []),
        ...brokenOnTheWay(seen, 'the old lead', 'the working rubbing'),
      ],
    });
  },
  project: (entry, tx) => projectStep(entry, tx, 'dismantle'),
  answer: answerStep,
});

async function undrawn(tx: Tx, panelId: string, subject: string): Promise<CustodySeed[]> {
  const rubbings = await findRows(tx, 'rubbing', { panelId });
  if (rubbings.some(({ sheet }) => sheet !== null)) return [];
  return [{ kind: 'dismantled-undrawn', subject, said: {} }];
}

async function checkRubbing(tx: Tx, panelId: string, rubbingId: string | undefined): Promise<void> {
  if (rubbingId === undefined) return;
  const row = await findRow(tx, 'rubbing', { rubbingId });
  if (row?.panelId !== panelId)
    throw new Problem(
      'subject-unknown',
      'rubbingId: this panel has no such rubbing. Record the rubbing first, or leave it out.',
      { field: 'rubbingId' },
    );
  if (row.sheet === null)
    throw new Problem(
      'rubbing-not-taken',
      'rubbingId: that record says that no rubbing was taken. Name another, or leave it out.',
    );
}
