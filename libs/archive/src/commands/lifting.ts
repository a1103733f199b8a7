import { z } from 'zod';
import { Problem } from '#libs/problem';
import { defineCommand } from '../command.js';
import { brokenOnTheWay } from '../custody/custody-flags.js';
import { answerStep, panelStep, projectStep } from '../custody/work-steps.js';
import { checkedEdtf, happenedSchema } from '../happened.js';
import { pieceMarkOf } from '../marks.js';
import { checkMedia, panelPlace, siteOf } from '../place.js';
import { idSchema, noteText } from '../shapes.js';
import { findRows } from '../tables.js';

export const LIFTS = ['lifted', 'broken', 'with', 'back'] as const;

const inPanel = z.string().min(1).max(12);

export const liftPiecesBody = z.strictObject({
  pieces: z
    .array(
      z
        .strictObject({
          mark: inPanel.describe('in the panel: 17, 17a'),
          is: z
            .enum(LIFTS)
            .describe(
              'lifted whole; broken while it was lifted; with: stays together with another; back: not lifted after all',
            ),
          with: inPanel.optional().describe('the piece that it stays together with'),
          note: noteText.optional(),
        })
        .refine(({ is, with: other }) => (is === 'with') === (other !== undefined), {
          message: 'name the other piece where it stays together with one, and only there',
          path: ['with'],
        }),
    )
    .min(1)
    .max(2000),
  images: z.array(idSchema).max(50).default([]),
  note: noteText.optional(),
  happened: happenedSchema.optional(),
});

/** Pieces lifted out of the old lead onto the working rubbing, some at a time; of each the last word counts. */
export const liftPieces = defineCommand({
  type: 'dismantling.lift',
  body: liftPiecesBody.extend({ panelId: idSchema }),
  role: 'recorder',
  target: 'panel',
  status: 201,
  siteOf: ({ panelId }, tx) => siteOf(tx, 'panel', panelId),
  async decide({ panelId, images, pieces, note, happened: claimed }, ctx) {
    const happened = checkedEdtf(claimed);
    const place = await panelPlace(ctx.tx, panelId);
    await checkMedia(ctx.tx, place.siteId, images, 'images');
    const rows = await findRows(ctx.tx, 'piece', { panelId, retired: false });
    refuseUnknown(
      place.fullMark,
      pieces,
      rows.map(({ mark }) => mark),
    );
    const broken = pieces
      .filter(({ is }) => is === 'broken')
      .map(({ mark, note: told }) => ({
        key: pieceMarkOf(place.fullMark, mark),
        condition: 'broken' as const,
        note: told ?? null,
        images: [],
      }));
    return panelStep(ctx, place, {
      happened,
      images,
      detail: { pieces, ...(note === undefined ? {} : { note }) },
      // it lies on the bench while its pieces are lifted, whatever was said of it before
      workState: 'on-bench',
      seeds: brokenOnTheWay(broken, 'the old lead', 'the working rubbing'),
    });
  },
  project: (entry, tx) => projectStep(entry, tx, 'lift'),
  answer: answerStep,
});

function refuseUnknown(
  fullMark: string,
  pieces: z.infer<typeof liftPiecesBody>['pieces'],
  marks: readonly string[],
): void {
  const known = new Set(marks);
  const seen = new Set<string>();
  for (const [i, { mark, with: other }] of pieces.entries()) {
    const field = `pieces[${i}]`;
    const missing = [mark, other].find((one) => one !== undefined && !known.has(one));
    if (missing !== undefined)
      throw new Problem(
        'subject-unknown',
        `${field}: ${fullMark} has no piece ${missing}. Sign the lead drawing first, or correct the number.`,
        { field, mark: missing },
      );
    if (seen.has(mark) || mark === other)
      throw new Problem(
        'request-invalid',
        `${field}: say of ${mark} one thing, and of another piece where it stays together.`,
        { field },
      );
    seen.add(mark);
  }
}
