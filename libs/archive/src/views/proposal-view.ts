import { z } from 'zod';
import type { ConsentRow, ProposalRow } from '../rows.js';
import { dateTime, idSchema, noteText, versionSchema } from '../shapes.js';
import { type ProposalLine, proposalLineSchema } from '../works/proposal-line.js';

export const proposalAnswer = z.object({
  siteId: idSchema,
  issueId: idSchema,
  proposalId: idSchema,
  issue: z.int().describe('from 1'),
  campaignId: idSchema,
  title: z.string(),
  lines: z.array(proposalLineSchema),
  digest: z.string().describe('SHA-256 of title and lines as RFC 8785 text'),
  note: z.string().nullable(),
  state: z.enum(['draft', 'sent', 'consented', 'refused', 'superseded']),
  writtenBy: idSchema,
  sentBy: idSchema.nullable(),
  sentHow: z.string().nullable(),
  sentTo: z.string().nullable(),
  sent: z.string().nullable().describe('EDTF'),
  entrySeq: z.int(),
  recordedAt: dateTime,
  version: versionSchema,
});

export function proposalView(row: ProposalRow): z.infer<typeof proposalAnswer> {
  return {
    ...row,
    lines: row.lines as ProposalLine[],
    entrySeq: Number(row.entrySeq),
    recordedAt: row.recordedAt.toISOString(),
    version: Number(row.version),
  };
}

export const dueSchema = z.enum(['before-work', 'before-close']);

export const consentConditionSchema = z.object({
  conditionId: idSchema,
  text: noteText,
  due: dueSchema,
  discharged: z
    .object({ how: noteText, happened: z.string(), by: idSchema, mediaId: idSchema.nullable() })
    .nullable(),
});
export type ConsentCondition = z.infer<typeof consentConditionSchema>;

export const consentAnswer = z.object({
  siteId: idSchema,
  consentId: idSchema,
  campaignId: idSchema,
  proposalId: idSchema,
  issue: z.int(),
  digest: z.string().describe('of what was consented to'),
  decision: z.enum(['given', 'refused']),
  how: z.enum(['program', 'letter']),
  byPersonId: idSchema.nullable(),
  byText: z.string().nullable(),
  forWhom: z.string().nullable(),
  happened: z.string().describe('EDTF'),
  expires: z.string().nullable().describe('EDTF'),
  mediaId: idSchema.nullable().describe('scan of the letter'),
  lineNumbers: z.array(z.int()).describe('from 1; empty: all'),
  conditions: z.array(consentConditionSchema),
  isOnePerson: z.boolean().describe('whoever proposed it consented, since nobody else may'),
  note: z.string().nullable(),
  entrySeq: z.int(),
  recordedAt: dateTime,
  version: versionSchema,
});

export function consentView(row: ConsentRow): z.infer<typeof consentAnswer> {
  return {
    ...row,
    conditions: row.conditions as ConsentCondition[],
    entrySeq: Number(row.entrySeq),
    recordedAt: row.recordedAt.toISOString(),
    version: Number(row.version),
  };
}
