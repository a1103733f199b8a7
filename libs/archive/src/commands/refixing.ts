import { z } from 'zod';
import { defineCommand } from '../command.js';
import { type CustodySeed, piecesAway } from '../custody/custody-flags.js';
import {
  answerStep,
  lastStep,
  missingBelow,
  panelStep,
  projectStep,
} from '../custody/work-steps.js';
import { checkedEdtf, daysOf, happenedSchema } from '../happened.js';
import { checkMedia, type PanelPlace, panelPlace, siteOf } from '../place.js';
import { idSchema, noteText, shortText } from '../shapes.js';
import type { Tx } from '../tx.js';

export const recordRefixBody = z.strictObject({
  bars: z
    .array(
      z.strictObject({
        mark: z.string().regex(/^bar-[1-9][0-9]*$/),
        state: z.enum(['kept', 'cleaned', 'replaced', 'new']),
        note: noteText.optional(),
      }),
    )
    .max(50)
    .default([]),
  ties: z
    .strictObject({ count: z.int().min(0).max(200), material: shortText.optional() })
    .optional(),
  pointing: z
    .strictObject({ with: shortText, batch: shortText.optional() })
    .optional()
    .describe('mortar or mastic round the edge'),
  ventilationGapMm: z
    .number()
    .min(0)
    .max(500)
    .optional()
    .describe('between the panel and its protective glazing'),
  images: z.array(idSchema).max(50).default([]),
  note: noteText.optional(),
  happened: happenedSchema.optional(),
});

/** A panel goes back into its opening. What should lie below it and does not is flagged. */
export const recordRefix = defineCommand({
  type: 'refix.record',
  body: recordRefixBody.extend({ panelId: idSchema }),
  role: 'recorder',
  target: 'panel',
  status: 201,
  siteOf: ({ panelId }, tx) => siteOf(tx, 'panel', panelId),
  async decide({ panelId, images, ...body }, ctx) {
    const { happened: claimed, ...said } = body;
    const happened = checkedEdtf(claimed);
    const place = await panelPlace(ctx.tx, panelId);
    const { siteId, fullMark } = place;
    await checkMedia(ctx.tx, siteId, images, 'images');
    const notBelow = await missingBelow(ctx.tx, place);
    return panelStep(ctx, place, {
      happened,
      images,
      detail: { ...said, notBelow },
      workState: 'in-place',
      seeds: [
        ...outOfSequence(fullMark, notBelow),
        ...(await tooEarly(ctx.tx, place, happened ?? ctx.now.toISOString().slice(0, 10))),
        ...(await piecesAway(ctx.tx, siteId, fullMark)),
      ],
    });
  },
  project: (entry, tx) => projectStep(entry, tx, 'refix'),
  answer: answerStep,
});

function outOfSequence(subject: string, notBelow: readonly string[]): CustodySeed[] {
  if (notBelow.length === 0) return [];
  const others = `${notBelow.join(', ')} below it ${notBelow.length === 1 ? 'was' : 'were'} not in yet`;
  return [{ kind: 'out-of-sequence', subject, said: { act: 'put back', others } }];
}

/** A panel that was rebuilt goes back signed and cured. One that never was rebuilt has no list. */
async function tooEarly(
  tx: Tx,
  { panelId, fullMark: subject }: PanelPlace,
  when: string,
): Promise<CustodySeed[]> {
  const check = await lastStep(tx, panelId, 'check');
  if (check === undefined) return [];
  const signed = await lastStep(tx, panelId, 'sign');
  const isSigned = signed !== undefined && Number(signed.entrySeq) > Number(check.entrySeq);
  const { cureUntil } = check.detail as { cureUntil: string | null };
  const first = daysOf(when).first;
  const cured = daysOf(cureUntil).last;
  return [
    ...(isSigned ? [] : [{ kind: 'refixed-unsigned' as const, subject, said: {} }]),
    ...(cureUntil !== null && cured !== null && first !== null && first < cured
      ? [{ kind: 'refixed-before-cure' as const, subject, said: { when, until: cureUntil } }]
      : []),
  ];
}
