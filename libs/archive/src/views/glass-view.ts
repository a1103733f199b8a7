import { z } from 'zod';
import { GLASSES, HOLDS } from '#libs/vocabulary';
import type { GlassChoiceRow, GlassSheetRow, MaterialPriceRow } from '../rows.js';
import { dateTime, idSchema, shortText, versionSchema } from '../shapes.js';
import { without } from '../without.js';

const keys = (words: readonly { key: string }[]) =>
  z.enum(words.map(({ key }) => key) as [string, ...string[]]);

export const sheetShape = z.strictObject({
  glass: keys(GLASSES).describe('key of the vocabulary'),
  colour: shortText.describe('as the maker or the studio names it'),
  thicknessMm: z.number().positive().max(100),
  widthMm: z.number().positive().max(6000),
  heightMm: z.number().positive().max(6000),
  grain: z
    .enum(['along-height', 'along-width', 'none'])
    .default('none')
    .describe('how streaks or figure run on the sheet'),
  offcutOf: idSchema
    .optional()
    .describe('the batch that it is left of: it is cut before a whole one'),
});

export const sheetAnswer = z.object({
  materialId: idSchema,
  ...sheetShape.shape,
  grain: z.enum(['along-height', 'along-width', 'none']),
  offcutOf: idSchema.nullable(),
  recordedAt: dateTime,
  version: versionSchema,
});

export function sheetView(row: GlassSheetRow): z.infer<typeof sheetAnswer> {
  const told = without(row, 'entrySeq');
  return { ...told, recordedAt: row.recordedAt.toISOString(), version: Number(row.version) };
}

export const priceShape = z.strictObject({
  currency: z
    .string()
    .regex(/^[A-Z]{3}$/, 'a code such as EUR')
    .describe('ISO 4217'),
  price: z.string().regex(/^\d{1,9}(\.\d{1,6})?$/, 'a decimal number such as 12 or 0.25'),
  per: z.enum(['unit', 'm2']).default('unit').describe('unit: of the register, a sheet, a metre'),
  fits: shortText
    .optional()
    .describe('of came or foil: the profile, or kind and width as the cut list names it'),
});

export const priceAnswer = z.object({
  materialId: idSchema,
  currency: z.string(),
  price: z.string(),
  per: z.enum(['unit', 'm2']),
  fits: z.string().nullable(),
  recordedAt: dateTime,
  version: versionSchema,
});

export function priceView(row: MaterialPriceRow): z.infer<typeof priceAnswer> {
  const told = without(row, 'entrySeq');
  return { ...told, recordedAt: row.recordedAt.toISOString(), version: Number(row.version) };
}

/** The register's words of the day on which a glass was chosen. */
export const chosenSheet = z.object({
  name: z.string(),
  maker: z.string().nullable(),
  batch: z.string().nullable(),
  glass: z.string(),
  colour: z.string(),
  thicknessMm: z.number(),
});
export type ChosenSheet = z.infer<typeof chosenSheet>;

export const heldShape = z
  .strictObject({
    by: keys(HOLDS),
    foilWidthMm: z.number().positive().max(30).optional(),
  })
  .refine(({ by, foilWidthMm }) => foilWidthMm === undefined || by === 'copper-foil', {
    message: 'only copper foil has a foil width: say copper-foil, or leave the width out',
    path: ['foilWidthMm'],
  });
export type Held = z.infer<typeof heldShape>;

export const choiceAnswer = z.object({
  pieceId: idSchema,
  piece: z.string().describe('number of the piece'),
  materialId: idSchema,
  sheet: chosenSheet,
  grainDeg: z.number().nullable().describe('degrees clockwise from the top of the panel'),
  held: heldShape.nullable(),
  state: z.enum(['chosen', 'taken-back', 'cut']),
  recordedAt: dateTime,
  version: versionSchema,
});

export function choiceView(row: GlassChoiceRow & { mark: string }): z.infer<typeof choiceAnswer> {
  return {
    pieceId: row.pieceId,
    piece: row.mark,
    materialId: row.materialId,
    sheet: row.sheet as ChosenSheet,
    grainDeg: row.grainDeg,
    held: row.held as Held | null,
    state: row.state,
    recordedAt: row.recordedAt.toISOString(),
    version: Number(row.version),
  };
}
