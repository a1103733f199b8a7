import { z } from 'zod';
import { FATES, GLASSES, HOLDS, PAINTS, SURFACE_WORKS, type Word } from '#libs/vocabulary';
import { happenedSchema } from '../happened.js';
import type { PieceTechniqueRow } from '../rows.js';
import {
  dateTime,
  faceSchema,
  idSchema,
  noteText,
  shortText,
  versionSchema,
  xyMmSchema,
} from '../shapes.js';

const oneOf = (words: readonly Word[]) =>
  z.enum(words.map(({ key }) => key) as [string, ...string[]]);

const thicknessMm = z.number().positive().max(100);
const densityGCm3 = z.number().min(0.5).max(8);

const glassLayer = z
  .strictObject({
    is: z.literal('glass'),
    glass: oneOf(GLASSES).optional(),
    colour: shortText.optional(),
    texture: shortText.optional().describe('seedy, streaky, hammered, …'),
    thicknessMm: thicknessMm.optional().describe('one gauge reading, or as it was bought'),
    gauged: z
      .array(z.strictObject({ xyMm: xyMmSchema, thicknessMm }))
      .min(1)
      .max(200)
      .optional()
      .describe('thickness map of a moulded glass: places on the piece; counts before thicknessMm'),
    densityGCm3: densityGCm3.optional(),
    flash: z
      .strictObject({ face: faceSchema, colour: shortText.optional() })
      .optional()
      .describe('of flashed glass: the face on which the thin coloured layer lies'),
    worked: z
      .array(
        z.strictObject({
          how: oneOf(SURFACE_WORKS),
          face: faceSchema,
          depthMm: z.number().positive().max(20).optional(),
          note: noteText.optional(),
        }),
      )
      .max(12)
      .default([])
      .describe('what was taken off a face'),
    painted: z
      .array(
        z.strictObject({
          how: oneOf(PAINTS),
          face: faceSchema,
          colour: shortText.optional(),
          coats: z.int().min(1).max(20).optional(),
          note: noteText.optional(),
        }),
      )
      .max(20)
      .default([])
      .describe('what was laid on a face, the first laid first'),
  })
  .refine(({ flash, glass }) => flash === undefined || glass === 'flashed', {
    message: 'only flashed glass has a flash: say glass flashed, or leave the flash out',
    path: ['flash'],
  });

const interlayer = z.strictObject({
  is: z.literal('interlayer'),
  material: shortText.describe('silicone, air, an edge seal of …'),
  thicknessMm: thicknessMm.optional(),
  densityGCm3: densityGCm3.optional().describe('left out: it is not in the weight'),
});

const generation = z.strictObject({
  mark: z
    .string()
    .regex(/^[1-9]\d{0,3}r[1-9]\d?$/, 'a replacement is named as 17r2')
    .optional()
    .describe('of the glass that came'),
  reason: noteText.describe('why the glass before it was taken out'),
  happened: happenedSchema.optional(),
  byRole: shortText.optional(),
  original: z
    .strictObject({ fate: oneOf(FATES), note: noteText.optional() })
    .describe('where the glass before it went; the shelf where it lies is a movement'),
});

export const pieceTechniqueSchema = z
  .strictObject({
    held: z
      .strictObject({
        by: oneOf(HOLDS),
        foilWidthMm: z.number().positive().max(30).optional(),
      })
      .refine(({ by, foilWidthMm }) => foilWidthMm === undefined || by === 'copper-foil', {
        message: 'only copper foil has a foil width: say copper-foil, or leave the width out',
        path: ['foilWidthMm'],
      })
      .optional(),
    layers: z
      .array(z.discriminatedUnion('is', [glassLayer, interlayer]))
      .max(11)
      .default([])
      .describe('from the inside outwards: the first glass is the front, the last the back'),
    generations: z
      .array(generation)
      .max(9)
      .default([])
      .describe('each time another glass took the place, the first time first'),
    note: noteText.optional(),
  })
  .refine(
    ({ held, layers, generations, note }) =>
      held !== undefined || layers.length + generations.length > 0 || note !== undefined,
    'say at least one thing: what holds it, a layer, a generation or a note',
  )
  .refine(
    ({ layers }) =>
      layers.every(
        ({ is }, i) =>
          is === 'glass' || (layers[i - 1]?.is === 'glass' && layers[i + 1]?.is === 'glass'),
      ),
    { message: 'an interlayer lies between two glasses: put it there', path: ['layers'] },
  );

export type PieceTechnique = z.infer<typeof pieceTechniqueSchema>;
export type TechniqueLayer = PieceTechnique['layers'][number];

export const pieceTechniqueAnswer = z.object({
  pieceId: idSchema,
  panelId: idSchema,
  siteId: idSchema,
  said: pieceTechniqueSchema,
  happened: z.string().nullable(),
  entrySeq: z.int(),
  recordedAt: dateTime,
  version: versionSchema,
});

export function pieceTechniqueView(row: PieceTechniqueRow): z.infer<typeof pieceTechniqueAnswer> {
  return {
    ...row,
    said: row.said as PieceTechnique,
    entrySeq: Number(row.entrySeq),
    recordedAt: row.recordedAt.toISOString(),
    version: Number(row.version),
  };
}
