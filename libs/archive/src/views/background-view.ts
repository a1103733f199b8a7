import { z } from 'zod';
import type { BackgroundRow } from '../rows.js';
import { dateTime, idSchema, noteText, shortText, versionSchema } from '../shapes.js';

/** What is said of a place; a member that is left out is not known there. */
export const backgroundSchema = z.strictObject({
  keeper: shortText
    .optional()
    .describe('body or office that owns or keeps it and may decide; no private person’s name'),
  protection: noteText
    .optional()
    .describe('legal protection: list, grade, number, who must be asked'),
  made: z
    .strictObject({
      happened: z.string().min(1).max(128).describe('when, EDTF: 1903, 1890~, 1870/1890'),
      by: shortText.optional().describe('designer, painter or workshop of that time, as known'),
      source: shortText.optional().describe('how it is known: inscription, invoice, style'),
    })
    .optional(),
  technique: noteText.optional().describe('how it is made, in a sentence'),
});
export type BackgroundSaid = z.infer<typeof backgroundSchema>;

export const backgroundAnswer = backgroundSchema.extend({
  siteId: idSchema,
  mark: z.string().describe('in full'),
  saidBy: idSchema,
  entrySeq: z.int(),
  recordedAt: dateTime,
  version: versionSchema,
});

export function backgroundView(row: BackgroundRow): z.infer<typeof backgroundAnswer> {
  return {
    ...(row.said as BackgroundSaid),
    siteId: row.siteId,
    mark: row.mark,
    saidBy: row.saidBy,
    entrySeq: Number(row.entrySeq),
    recordedAt: row.recordedAt.toISOString(),
    version: Number(row.version),
  };
}
