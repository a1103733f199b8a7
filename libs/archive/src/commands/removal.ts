import { z } from 'zod';
import { defineCommand } from '../command.js';
import { seenSchema, seenThings } from '../custody/custody-body.js';
import { brokenOnTheWay, type CustodySeed } from '../custody/custody-flags.js';
import { answerStep, panelStep, projectStep, standingOn } from '../custody/work-steps.js';
import { checkedEdtf, happenedSchema } from '../happened.js';
import { checkMedia, panelPlace, siteOf } from '../place.js';
import { faceSchema, idSchema, noteText } from '../shapes.js';

export const recordRemovalBody = z.strictObject({
  facing: z
    .discriminatedUnion('state', [
      z.strictObject({ state: z.literal('sound'), how: noteText.optional() }),
      z.strictObject({ state: z.literal('faced'), how: noteText.describe('with what, and where') }),
      z.strictObject({ state: z.literal('not-faced'), because: noteText }),
    ])
    .optional()
    .describe('loose paint and cracks before anything is moved: sound and tested, faced, or not'),
  support: noteText.optional().describe('what held the panel to its shape'),
  tag: z
    .strictObject({
      on: z
        .enum(['lead', 'board'])
        .describe('tied or taped to lead, or to the board: never to glass'),
      upArrow: z.boolean(),
      face: faceSchema.describe('the face that the tag lies on'),
    })
    .optional(),
  faceUpPhoto: idSchema
    .optional()
    .describe('mediaId of the panel laid down, face up, with its tag'),
  boreOn: noteText.optional().describe('what it stood on when it came out, as found'),
  seen: z
    .array(seenSchema)
    .max(500)
    .default([])
    .describe('pieces that came loose, broke or were not there'),
  note: noteText.optional(),
  happened: happenedSchema.optional(),
});

/** A panel is taken out of its opening. What should have come first and did not is flagged. */
export const recordRemoval = defineCommand({
  type: 'removal.record',
  body: recordRemovalBody.extend({ panelId: idSchema }),
  role: 'recorder',
  target: 'panel',
  status: 201,
  siteOf: ({ panelId }, tx) => siteOf(tx, 'panel', panelId),
  async decide({ panelId, ...body }, ctx) {
    const { happened: claimed, ...said } = body;
    const happened = checkedEdtf(claimed);
    const place = await panelPlace(ctx.tx, panelId);
    const { siteId, fullMark } = place;
    const seen = await seenThings(ctx.tx, siteId, said.seen);
    const images = said.faceUpPhoto === undefined ? [] : [said.faceUpPhoto];
    await checkMedia(ctx.tx, siteId, images, 'faceUpPhoto');
    const stillAbove = await standingOn(ctx.tx, place);
    return panelStep(ctx, place, {
      happened,
      images,
      detail: { ...said, seen, stillAbove },
      workState: 'out',
      seeds: [
        ...outOfSequence(fullMark, stillAbove),
        ...unstated(fullMark, said),
        ...brokenOnTheWay(seen, 'its opening', 'the board'),
      ],
    });
  },
  project: (entry, tx) => projectStep(entry, tx, 'remove'),
  answer: answerStep,
});

function outOfSequence(subject: string, stillAbove: readonly string[]): CustodySeed[] {
  if (stillAbove.length === 0) return [];
  const others = `${stillAbove.join(', ')} still stood on it`;
  return [{ kind: 'out-of-sequence', subject, said: { act: 'taken out', others } }];
}

/** What must be stated before a panel is moved. */
function unstated(
  subject: string,
  { facing, support, tag }: Pick<z.infer<typeof recordRemovalBody>, 'facing' | 'support' | 'tag'>,
): CustodySeed[] {
  const missing = [
    ...(facing === undefined ? ['whether loose paint and cracks were faced'] : []),
    ...(support === undefined ? ['what held it to its shape'] : []),
    ...(tag === undefined ? ['which way is up, on a tag'] : []),
  ];
  if (missing.length === 0) return [];
  return [{ kind: 'removal-unstated', subject, said: { what: missing.join(', nor ') } }];
}
