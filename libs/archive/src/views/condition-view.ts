import { z } from 'zod';
import type { ConditionClass } from '#libs/vocabulary';
import type { ConditionRow } from '../rows.js';
import { dateTime, idSchema, noteText, versionSchema } from '../shapes.js';

export const conditionClassSchema = z
  .union([
    z.literal(0),
    z.literal(1),
    z.literal(2),
    z.literal(3),
    z.literal('not-inspected'),
    z.literal('not-accessible'),
  ])
  .describe('0 sound to 3 severe; not-inspected and not-accessible are answers of their own');

export const conditionAnswer = z.object({
  conditionId: idSchema,
  siteId: idSchema,
  panelId: idSchema,
  conditionClass: conditionClassSchema,
  reason: noteText.describe('what was seen, or why nobody could look'),
  observerId: idSchema,
  happened: z.string().describe('day of the look, EDTF'),
  state: z.enum(['recorded', 'withdrawn']),
  entrySeq: z.int(),
  recordedAt: dateTime,
  version: versionSchema,
  surveyId: idSchema.nullable().describe('the visit in which it was said'),
  urgency: z.int().nullable().describe('0 to 3'),
  recommendation: z.int().nullable().describe('0 to 3'),
});

/** A class as it stands in a row. */
export function readConditionClass(text: string): ConditionClass {
  return conditionClassSchema.parse(/^[0-3]$/.test(text) ? Number(text) : text);
}

export function conditionView(row: ConditionRow): z.infer<typeof conditionAnswer> {
  return {
    conditionId: row.conditionId,
    siteId: row.siteId,
    panelId: row.panelId,
    conditionClass: readConditionClass(row.conditionClass),
    reason: row.reason,
    observerId: row.observerId,
    happened: row.happened,
    state: row.state,
    entrySeq: Number(row.entrySeq),
    recordedAt: row.recordedAt.toISOString(),
    version: Number(row.version),
    surveyId: row.surveyId,
    urgency: row.urgency,
    recommendation: row.recommendation,
  };
}
