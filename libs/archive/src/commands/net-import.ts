import { z } from 'zod';
import {
  buildNet,
  type Cartoon,
  CartoonError,
  type Net,
  NetError,
  type Numbering,
  readCartoon,
} from '#libs/net';
import { Problem } from '#libs/problem';
import { defineCommand } from '../command.js';
import { changeSentence } from '../net-summary.js';
import { panelPlace, siteOf } from '../place.js';
import { faceSchema, idSchema, layerSchema, noteText } from '../shapes.js';
import { putJson, putNet } from '../stored-json.js';
import { drawingBefore } from './drawing-before.js';
import {
  answerNet,
  changeSince,
  decidedNet,
  madeWithoutReading,
  projectNet,
  revisionOfLayer,
  supersededRevision,
} from './net-revision.js';

export const cartoonBody = z.strictObject({
  fileName: z.string().trim().min(1).max(255),
  text: z.string().min(1).max(6_000_000).describe('the file as it is'),
  unitMm: z
    .number()
    .min(0.0001)
    .max(10_000)
    .optional()
    .describe('millimetres in one unit; left out: what the file states'),
  toleranceMm: z
    .number()
    .min(0.01)
    .max(5)
    .optional()
    .describe('gaps up to this are closed; 0.5 when left out'),
  faceWidthMm: z
    .number()
    .min(1)
    .max(40)
    .optional()
    .describe('of leads that the file gives no width for; 6 when left out'),
  layers: z
    .array(z.string().max(255))
    .max(100)
    .optional()
    .describe('names of those that hold the leads; left out: told by their names, or all lines'),
  outline: z
    .enum(['drawn', 'box'])
    .default('drawn')
    .describe('box: the rectangle round the lines is the outer edge'),
  face: faceSchema.optional().describe('of the glass; inside when left out'),
  layer: layerSchema.optional(),
});

export const importNetBody = cartoonBody.extend({ note: noteText });

type CartoonBody = z.infer<typeof cartoonBody>;

export interface ReadCartoon {
  readonly cartoon: Cartoon;
  readonly net: Net;
}

/**
 * The cartoon as a lead drawing, numbered after the drawing that is there.
 *
 * @throws {Problem} `cartoon-unusable` with a fault and, where there is one, a place
 */
export function cartoonNet(
  { fileName, text, face, layer, unitMm, toleranceMm, faceWidthMm, layers, outline }: CartoonBody,
  numbering: Numbering,
): ReadCartoon {
  try {
    const cartoon = readCartoon(text, {
      fileName,
      outline,
      ...(unitMm === undefined ? {} : { unitMm }),
      ...(toleranceMm === undefined ? {} : { toleranceMm }),
      ...(faceWidthMm === undefined ? {} : { faceWidthMm }),
      ...(layers === undefined ? {} : { layers }),
    });
    const net = buildNet(cartoon.sketch, {
      face: face ?? 'inside',
      layer: layer ?? 'front',
      surface: 'plan',
      madeBy: { name: 'import', version: '1' },
      numbering,
    });
    return { cartoon, net };
  } catch (cause) {
    if (!(cause instanceof CartoonError) && !(cause instanceof NetError)) throw cause;
    const [x, y] = cause.xyMm ?? [];
    throw new Problem(
      'cartoon-unusable',
      cause instanceof CartoonError
        ? cause.message
        : `The lines do not close to a lead drawing: ${cause.message}. Mend the file there, or give a larger tolerance.`,
      {
        field: 'text',
        fault: cause.fault,
        ...(x === undefined || y === undefined ? {} : { xMm: x, yMm: y }),
      },
      { cause },
    );
  }
}

/** A cartoon of new work becomes the next revision; the file itself is kept beside it. */
export const importNet = defineCommand({
  type: 'net.import',
  body: importNetBody.extend({ panelId: idSchema }),
  role: 'recorder',
  target: 'panel',
  status: 201,
  siteOf: ({ panelId }, tx) => siteOf(tx, 'panel', panelId),
  async prepare(body, { tx, objects }) {
    const before = await drawingBefore(tx, objects, body.panelId, body.layer);
    const { net, cartoon } = cartoonNet(body, before.numbering);
    return {
      net,
      repairs: cartoon.repairs,
      digest: before.digest,
      change: before.net === undefined ? null : changeSentence(before.net, net),
    };
  },
  async decide(body, ctx, { net, repairs, ...known }) {
    const place = await panelPlace(ctx.tx, body.panelId);
    ctx.expectVersion(place.netRevision ?? 0);
    const before = await revisionOfLayer(ctx.tx, body.panelId, net.layer);
    const file = await ctx.objects.put(new TextEncoder().encode(body.text), { retain: 'original' });
    const decided = decidedNet(
      place,
      net,
      await putNet(ctx.objects, net),
      await changeSince(ctx.objects, before, net, known),
      { ...madeWithoutReading(undefined, body.note) },
      [
        { ...file, role: 'cartoon' },
        await putJson(ctx.objects, { fileName: body.fileName, repairs }, 'repairs'),
      ],
    );
    return { ...decided, ...(await supersededRevision(ctx.tx, place, before)) };
  },
  project: projectNet,
  answer: answerNet,
});
