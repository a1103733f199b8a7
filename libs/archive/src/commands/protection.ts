import { z } from 'zod';
import { Problem } from '#libs/problem';
import { defineCommand } from '../command.js';
import { answerStep, projectStep } from '../custody/work-steps.js';
import { checkedEdtf, happenedSchema } from '../happened.js';
import { checkMedia, siteOf, sitePlace } from '../place.js';
import { idSchema, noteText, shortText } from '../shapes.js';
import { findRow, findRows } from '../tables.js';
import { unknown } from '../unknown.js';

export const PROTECTIONS = ['temporary-glazing', 'boarding', 'sheeting', 'none'] as const;

export const protectOpeningBody = z.strictObject({
  panels: z
    .array(z.string().min(1).max(8))
    .max(500)
    .default([])
    .describe('marks of the openings in the window: 2a, A1; none: the whole window'),
  by: z.enum(PROTECTIONS).describe('none: left open or protection taken away, with the note why'),
  how: noteText.optional().describe('sheet, fixing, ventilation'),
  checkedByRole: shortText.optional().describe('who looked whether it holds and keeps rain out'),
  images: z.array(idSchema).max(50).default([]),
  note: noteText.optional(),
  happened: happenedSchema.optional(),
});

/** Openings are closed against weather while their panels are away. */
export const protectOpening = defineCommand({
  type: 'opening.protect',
  body: protectOpeningBody.extend({ windowId: idSchema }),
  role: 'recorder',
  target: 'window',
  status: 201,
  siteOf: ({ windowId }, tx) => siteOf(tx, 'window', windowId),
  async decide({ windowId, panels, images, happened, ...said }, ctx) {
    const window = await findRow(ctx.tx, 'window', { windowId });
    if (window === undefined) throw unknown('window');
    const { siteId } = window;
    const above = `${(await sitePlace(ctx.tx, siteId)).siteMark}.${window.mark}`;
    const rows = await findRows(ctx.tx, 'panel', { windowId, retired: false }, 'ORDER BY sort_key');
    const drawn = rows.map(({ mark }) => mark);
    const missing = panels.find((mark) => !drawn.includes(mark));
    if (missing !== undefined)
      throw new Problem(
        'subject-unknown',
        `panels: ${above} has no opening ${missing}. Correct the mark.`,
        { field: 'panels', mark: missing },
      );
    await checkMedia(ctx.tx, siteId, images, 'images');
    const named = panels.length === 0 ? drawn : [...new Set(panels)];
    return {
      log: { siteId },
      subject: above,
      happened: checkedEdtf(happened),
      payload: {
        stepId: ctx.newId(),
        windowId,
        panelId: null,
        marks: named.map((mark) => `${above}.${mark}`),
        images,
        detail: said,
        workState: null,
        flags: [],
      },
    };
  },
  project: (entry, tx) => projectStep(entry, tx, 'protect'),
  answer: answerStep,
});
