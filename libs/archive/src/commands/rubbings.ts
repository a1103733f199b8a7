import { z } from 'zod';
import { Problem } from '#libs/problem';
import { defineCommand } from '../command.js';
import { checkedEdtf, happenedSchema } from '../happened.js';
import { placedName } from '../names/name-places.js';
import { sealName } from '../names/sealed-name.js';
import { panelPlace, siteOf } from '../place.js';
import { faceSchema, idSchema, layerSchema, noteText, shortText } from '../shapes.js';
import { findRow, putRow } from '../tables.js';
import { rubbingView } from '../views/rubbing-view.js';
import { without } from '../without.js';

const sideMm = z.number().positive().max(5000);

/** What must be known before wax touches a panel; "not rubbed because …" is a valid record. */
export const conditionsSchema = z.union([
  z.strictObject({
    paintTested: z.literal(true, 'test the paint first, or record notRubbedBecause'),
    looseAreas: z.enum(['none', 'covered', 'left-out']),
    panelSupported: z.literal(true, 'support the panel first, or record notRubbedBecause'),
  }),
  z.strictObject({ notRubbedBecause: noteText }),
]);

/** The paper itself is an archival thing. */
export const sheetSchema = z.strictObject({
  medium: shortText.describe('e.g. heelball on lining paper'),
  face: faceSchema,
  layer: layerSchema.default('front'),
  sheets: z.int().min(1).max(99).default(1),
  takenBy: shortText,
  shelf: shortText.describe('where the sheet lies'),
  overall: z
    .strictObject({ widthMm: sideMm, heightMm: sideMm, diagonal1Mm: sideMm, diagonal2Mm: sideMm })
    .optional()
    .describe('measured on the panel, not on the paper'),
});

export const recordRubbingBody = z.strictObject({
  conditions: conditionsSchema,
  sheet: sheetSchema.optional(),
  happened: happenedSchema.optional(),
});

export const recordRubbing = defineCommand({
  type: 'rubbing.record',
  body: recordRubbingBody.extend({ panelId: idSchema }),
  role: 'recorder',
  target: 'panel',
  status: 201,
  siteOf: ({ panelId }, tx) => siteOf(tx, 'panel', panelId),
  async decide(body, ctx) {
    const place = await panelPlace(ctx.tx, body.panelId);
    if ('notRubbedBecause' in body.conditions && body.sheet !== undefined) {
      throw new Problem(
        'request-invalid',
        'sheet: there is no sheet when no rubbing was taken. Leave one of the two out.',
        { field: 'sheet' },
      );
    }
    const { siteId } = place;
    const { sheet } = body;
    return {
      log: { siteId },
      subject: place.fullMark,
      happened: checkedEdtf(body.happened),
      payload: {
        v: 2 as const,
        rubbingId: ctx.newId(),
        panelId: body.panelId,
        conditions: body.conditions,
        sheet: sheet === undefined ? null : without(sheet, 'takenBy'),
        takenBy:
          sheet === undefined
            ? null
            : await sealName(ctx.tx, sheet.takenBy, { siteId, field: 'takenBy' }, ctx.now),
      },
    };
  },
  async project(entry, tx) {
    const { rubbingId, panelId, conditions, sheet, takenBy } = entry.payload;
    const at = { kind: 'rubbing', rowId: rubbingId, field: 'takenBy' } as const;
    const shown = await placedName(tx, entry, at, takenBy);
    await putRow(tx, 'rubbing', {
      siteId: entry.siteId!,
      rubbingId,
      panelId,
      conditions,
      sheet: sheet === null ? null : { ...sheet, takenBy: shown },
      happened: entry.happened,
      recordedAt: entry.recordedAt,
    });
  },
  answer: async ({ payload }, tx) =>
    rubbingView((await findRow(tx, 'rubbing', { rubbingId: payload.rubbingId }))!),
});
