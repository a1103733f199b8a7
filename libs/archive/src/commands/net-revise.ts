import { z } from 'zod';
import { distanceToSegmentMm, type Net, type NetSketch, netSchema } from '#libs/net';
import { defineCommand } from '../command.js';
import { changeSentence } from '../net-summary.js';
import { panelPlace, siteOf } from '../place.js';
import {
  faceSchema,
  idSchema,
  layerSchema,
  noteText,
  surfaceSchema,
  xyMmSchema,
} from '../shapes.js';
import { putNet } from '../stored-json.js';
import { drawingBefore } from './drawing-before.js';
import {
  answerNet,
  builtNet,
  changeSince,
  decidedNet,
  madeWithoutReading,
  projectNet,
  revisionOfLayer,
  revisionRow,
  supersededRevision,
} from './net-revision.js';

const leadShape = netSchema.shape.leads.element.shape;
const placeShape = netSchema.shape.doubtfulPlaces.element.shape;

export const sketchSchema = z.strictObject({
  nodes: z
    .array(z.strictObject({ xyMm: xyMmSchema }))
    .min(2)
    .max(20_000),
  leads: z
    .array(
      z.strictObject({
        from: z.int().min(0).describe('place in nodes'),
        to: z.int().min(0),
        kind: leadShape.kind,
        lineMm: z.array(xyMmSchema).min(2).max(5000),
        faceWidthMm: leadShape.faceWidthMm,
        widthSpreadMm: leadShape.widthSpreadMm.default(0),
        profile: leadShape.profile
          .optional()
          .describe('from a gauge reading at a cut end; null: not measured'),
        confidenceP: leadShape.confidenceP.default(1),
        doubts: leadShape.doubts.default([]),
      }),
    )
    .min(1)
    .max(20_000),
});

const doubtfulPlaceSchema = z.strictObject({
  xyMm: xyMmSchema,
  radiusMm: placeShape.radiusMm,
  reason: placeShape.reason,
  leadIndex: z.int().min(0).nullable().default(null).describe('place in the sketch’s leads'),
});

/** A person's word: the piece at this place has this number. */
export const numbersSchema = z
  .array(
    z.strictObject({
      atMm: xyMmSchema,
      number: z.int().min(1).max(9999),
      part: z
        .string()
        .regex(/^[a-z]{1,2}$/)
        .nullable()
        .optional(),
    }),
  )
  .max(2000);

export const reviseNetBody = z.strictObject({
  sketch: sketchSchema,
  note: noteText.describe('what was changed and why'),
  face: faceSchema.optional().describe('only for a first drawing; else as the one before'),
  layer: layerSchema.optional().describe('of a plated panel; else as the revision before'),
  surface: surfaceSchema.optional().describe('else as the one before, at first developed'),
  numbers: numbersSchema
    .optional()
    .describe('a person’s word: the piece at this place has this number'),
  doubtfulPlaces: z
    .array(doubtfulPlaceSchema)
    .max(5000)
    .optional()
    .describe('those still open; left out: those of the revision before stay open'),
});

/** A person's revision of the lead drawing. `If-Match` is the last revision, 0 when there is none. */
export const reviseNet = defineCommand({
  type: 'net.revise',
  body: reviseNetBody.extend({ panelId: idSchema }),
  role: 'recorder',
  target: 'panel',
  status: 201,
  siteOf: ({ panelId }, tx) => siteOf(tx, 'panel', panelId),
  async prepare(body, { tx, objects }) {
    const place = await panelPlace(tx, body.panelId);
    const last = await revisionRow(tx, body.panelId, place.netRevision);
    const layer = body.layer ?? (last?.layer as Net['layer'] | undefined) ?? 'front';
    const before = await drawingBefore(tx, objects, body.panelId, layer);
    const earlier = before.net;
    const sketch = body.sketch as NetSketch;
    const net = builtNet(sketch, {
      face: body.face ?? earlier?.face ?? 'inside',
      layer,
      surface: body.surface ?? earlier?.surface ?? 'developed',
      ...(earlier === undefined
        ? {}
        : {
            heartMm: earlier.heartMm,
            clearanceMm: earlier.clearanceMm,
            flatten: earlier.flatten,
          }),
      doubtfulPlaces: body.doubtfulPlaces ?? stillOpen(earlier, sketch),
      madeBy: { name: 'hand', version: '1' },
      numbering: {
        ...before.numbering,
        overrides: (body.numbers ?? []).map(({ part = null, ...rest }) => ({ ...rest, part })),
      },
    });
    return {
      net,
      digest: before.digest,
      change: earlier === undefined ? null : changeSentence(earlier, net),
    };
  },
  async decide(body, ctx, { net, ...known }) {
    const place = await panelPlace(ctx.tx, body.panelId);
    ctx.expectVersion(place.netRevision ?? 0);
    const before = await revisionOfLayer(ctx.tx, body.panelId, net.layer);
    const decided = decidedNet(
      place,
      net,
      await putNet(ctx.objects, net),
      await changeSince(ctx.objects, before, net, known),
      madeWithoutReading(before, body.note),
    );
    return { ...decided, ...(await supersededRevision(ctx.tx, place, before)) };
  },
  project: projectNet,
  answer: answerNet,
});

/** Places of the revision before that nobody answered, each on the lead that runs nearest to it. */
function stillOpen(earlier: Net | undefined, sketch: NetSketch) {
  return (earlier?.doubtfulPlaces ?? []).map(({ xyMm, radiusMm, reason, leadId }) => {
    let leadIndex: number | null = null;
    let least = leadId === null ? -1 : Math.max(radiusMm, 1);
    sketch.leads.forEach(({ lineMm }, at) => {
      for (let i = 1; i < lineMm.length; i++) {
        const off = distanceToSegmentMm(xyMm, lineMm[i - 1]!, lineMm[i]!);
        if (off <= least) {
          least = off;
          leadIndex = at;
        }
      }
    });
    return { xyMm, radiusMm, reason, leadIndex };
  });
}
