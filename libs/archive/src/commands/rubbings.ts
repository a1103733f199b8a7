import { z } from 'zod';
import { Problem } from '#libs/problem';
import { defineCommand } from '../command.js';
import { checkedEdtf, happenedSchema } from '../happened.js';
import { checkMedia, panelPlace, siteOf } from '../place.js';
import type { RubbingRow } from '../rows.js';
import { faceSchema, idSchema, layerSchema, noteText, shortText, xyPxSchema } from '../shapes.js';
import { findRow, putRow } from '../tables.js';
import { unknown } from '../unknown.js';
import { rubbingView } from '../views/rubbing-view.js';

export const RUBBING_EXTRACT_QUEUE = 'rubbing.extract';

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
    return {
      log: { siteId: place.siteId },
      subject: place.fullMark,
      happened: checkedEdtf(body.happened),
      payload: {
        rubbingId: ctx.newId(),
        panelId: body.panelId,
        conditions: body.conditions,
        sheet: body.sheet ?? null,
      },
    };
  },
  async project(entry, tx) {
    const { rubbingId, panelId, conditions, sheet } = entry.payload;
    await putRow(tx, 'rubbing', {
      siteId: entry.siteId!,
      rubbingId,
      panelId,
      conditions,
      sheet,
      happened: entry.happened,
      recordedAt: entry.recordedAt,
    });
  },
  answer: async ({ payload }, tx) =>
    rubbingView((await findRow(tx, 'rubbing', { rubbingId: payload.rubbingId }))!),
});

/** How the picture of a rubbing gets its scale; the names are those of libs/rubbing. */
export const controlSchema = z.discriminatedUnion('kind', [
  z.strictObject({
    kind: z.literal('control_points'),
    points: z
      .array(
        z.strictObject({ name: z.string().min(1).max(20), mm: z.tuple([z.number(), z.number()]) }),
      )
      .min(4, 'give at least four marks')
      .max(60),
  }),
  z.strictObject({ kind: z.literal('scale_bar'), length_mm: z.number().positive().max(5000) }),
  z.strictObject({ kind: z.literal('diagonals'), AC_mm: sideMm, BD_mm: sideMm }),
  z.strictObject({
    kind: z.literal('sides_diagonals'),
    AB_mm: sideMm,
    BC_mm: sideMm,
    CD_mm: sideMm,
    DA_mm: sideMm,
    AC_mm: sideMm,
    BD_mm: sideMm,
  }),
]);

export const askExtractionBody = z.strictObject({
  mediaId: idSchema.describe('the picture of the sheet'),
  control: controlSchema,
  taps: z
    .array(xyPxSchema)
    .min(2)
    .max(60)
    .describe('the marks of the control in the upright picture, in the same order'),
});

/** Who measured what on the sheet stands in the ledger before the machine reads it. */
export const askExtraction = defineCommand({
  type: 'rubbing.ask-extraction',
  body: askExtractionBody.extend({ rubbingId: idSchema }),
  role: 'recorder',
  target: 'rubbing',
  status: 202,
  siteOf: ({ rubbingId }, tx) => siteOf(tx, 'rubbing', rubbingId),
  async decide({ rubbingId, mediaId, control, taps }, ctx) {
    const rubbing: RubbingRow | undefined = await findRow(ctx.tx, 'rubbing', { rubbingId });
    if (rubbing === undefined) throw unknown('rubbing');
    if ('notRubbedBecause' in (rubbing.conditions as object)) {
      throw new Problem(
        'rubbing-not-taken',
        'This record says why the panel was not rubbed. Record the rubbing with its conditions first.',
      );
    }
    const wanted = tapsFor(control);
    if (taps.length !== wanted) {
      throw new Problem(
        'control-unusable',
        `taps: this control needs ${wanted} places in the picture, got ${taps.length}.`,
        { field: 'taps' },
      );
    }
    await checkMedia(ctx.tx, rubbing.siteId, [mediaId], 'mediaId');
    const place = await panelPlace(ctx.tx, rubbing.panelId);
    const jobId = ctx.newId();
    return {
      log: { siteId: rubbing.siteId },
      subject: place.fullMark,
      happened: null,
      payload: { rubbingId, panelId: rubbing.panelId, mediaId, control, taps, jobId },
      jobs: [
        {
          queue: RUBBING_EXTRACT_QUEUE,
          jobId,
          siteId: rubbing.siteId,
          subject: place.fullMark,
          data: {
            rubbingId,
            siteId: rubbing.siteId,
            panelId: rubbing.panelId,
            mediaId,
            control,
            taps,
            askedBy: ctx.actorId,
          },
        },
      ],
    };
  },
  project: () => Promise.resolve(),
  answer: ({ payload }) => Promise.resolve({ jobId: payload.jobId }),
});

function tapsFor(control: z.infer<typeof controlSchema>): number {
  if (control.kind === 'control_points') return control.points.length;
  return control.kind === 'scale_bar' ? 2 : 4;
}
