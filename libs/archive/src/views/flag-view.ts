import { z } from 'zod';
import { FLAG_KINDS, type FlagKind, flagSentence } from '#libs/vocabulary';
import type { FlagRow } from '../rows.js';
import { dateTime, idSchema, noteText, versionSchema } from '../shapes.js';

export const flagKindSchema = z
  .enum(Object.keys(FLAG_KINDS) as [FlagKind, ...FlagKind[]])
  .describe('what is out of order');

export const flagAnswer = z.object({
  flagId: idSchema,
  siteId: idSchema,
  campaignId: idSchema.nullable(),
  kind: flagKindSchema,
  label: z.string(),
  subject: z.string().describe('full mark'),
  sentence: z.string(),
  said: z.record(z.string(), z.union([z.string(), z.number()])),
  state: z.enum(['open', 'answered']),
  raisedBy: idSchema,
  raisedSeq: z.int(),
  raisedAt: dateTime,
  answer: noteText.nullable(),
  answeredBy: idSchema.nullable(),
  answeredAt: dateTime.nullable(),
  isOwnAnswer: z
    .boolean()
    .describe('the person whose entry raised it answered it, as in a studio of one'),
  version: versionSchema,
});

export function flagView(row: FlagRow): z.infer<typeof flagAnswer> {
  const kind = row.kind as FlagKind;
  const said = row.said as Record<string, string | number>;
  return {
    flagId: row.flagId,
    siteId: row.siteId,
    campaignId: row.campaignId,
    kind,
    label: FLAG_KINDS[kind].label,
    subject: row.subject,
    sentence: flagSentence(kind, said),
    said,
    state: row.state,
    raisedBy: row.raisedBy,
    raisedSeq: Number(row.raisedSeq),
    raisedAt: row.raisedAt.toISOString(),
    answer: row.answer,
    answeredBy: row.answeredBy,
    answeredAt: row.answeredAt?.toISOString() ?? null,
    isOwnAnswer: row.answeredBy === row.raisedBy,
    version: Number(row.version),
  };
}
