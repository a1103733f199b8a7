import { z } from 'zod';
import { profileSchema } from '#libs/net';
import type { PanelMaterialsRow } from '../rows.js';
import { dateTime, idSchema, noteText, versionSchema } from '../shapes.js';

const thicknessMm = z.number().positive().max(100);

const glassShape = {
  layersMm: z
    .array(thicknessMm)
    .min(1)
    .max(6)
    .optional()
    .describe('thickness of each glass, front to back; a plated piece has two or more'),
  densityGCm3: z.number().min(1).max(8).optional(),
};

export const panelMaterialsSchema = z.strictObject({
  glass: z.strictObject(glassShape).default({}).describe('of every piece that is not named'),
  pieces: z
    .record(
      z.string().regex(/^\d+[a-z]?$/, 'a piece is named as in the drawing: 17, 17a'),
      z.strictObject({
        ...glassShape,
        thicknessesMm: z
          .array(thicknessMm)
          .min(1)
          .max(200)
          .optional()
          .describe('gauged at places spread evenly over a moulded piece: their mean counts'),
        weighedG: z
          .number()
          .positive()
          .max(100_000)
          .optional()
          .describe('by itself, out of the lead: counts before anything reckoned'),
      }),
    )
    .default({}),
  profiles: z
    .array(
      z.strictObject({
        kind: z.enum(['came', 'outer', 'mending', 'strap', 'broken']),
        widthClassMm: z.number().positive().max(60),
        profile: profileSchema,
      }),
    )
    .max(40)
    .default([])
    .describe('section of each width class that no lead of the drawing names itself'),
  solderRatio: z
    .number()
    .min(0)
    .max(3)
    .default(1)
    .describe('of the estimate by joints: 0 without solder, 2 for heavy joints'),
  cementRatio: z
    .number()
    .min(0)
    .max(0.3)
    .default(0)
    .describe('added to the whole for cement; 0: not in the weight'),
  bars: z
    .array(z.strictObject({ name: z.string().min(1).max(60), kg: z.number().positive().max(500) }))
    .max(40)
    .default([])
    .describe('bars and frames that leave the opening with the panel'),
  weighedKg: z
    .number()
    .positive()
    .max(1000)
    .optional()
    .describe('the whole panel on a scale: counts before the sum'),
  note: noteText.optional(),
});

export type PanelMaterials = z.infer<typeof panelMaterialsSchema>;

export const panelMaterialsAnswer = z.object({
  panelId: idSchema,
  siteId: idSchema,
  said: panelMaterialsSchema,
  happened: z.string().nullable(),
  entrySeq: z.int(),
  recordedAt: dateTime,
  version: versionSchema,
});

export function panelMaterialsView(row: PanelMaterialsRow): z.infer<typeof panelMaterialsAnswer> {
  return {
    ...row,
    said: row.said as PanelMaterials,
    entrySeq: Number(row.entrySeq),
    recordedAt: row.recordedAt.toISOString(),
    version: Number(row.version),
  };
}
