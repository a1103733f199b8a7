import { z } from 'zod';
import type { CampaignRow } from '../rows.js';
import { dateTime, idSchema, noteText, shortText, versionSchema } from '../shapes.js';

/** What somebody does in a campaign, as the studio calls it. */
export const DUTIES = [
  'head',
  'surveyor',
  'conservator',
  'glazier',
  'painter',
  'mason',
  'other',
] as const;
export const dutySchema = z.enum(DUTIES);

export const campaignPersonSchema = z.strictObject({
  personId: idSchema,
  duty: dutySchema,
});

export const closingSchema = z.strictObject({
  note: noteText.optional().describe('how it ended'),
  residualRisk: noteText.optional().describe('what still threatens the glass'),
  maintenance: noteText.optional().describe('what is to be done, and how often'),
  nextInspection: shortText.optional().describe('when somebody should look again, EDTF'),
});

export const campaignAnswer = z.object({
  campaignId: idSchema,
  siteId: idSchema,
  title: z.string(),
  scope: z.array(z.string()).describe('full marks of windows and panels'),
  people: z.array(campaignPersonSchema),
  note: z.string().nullable(),
  began: z.string().describe('EDTF'),
  state: z.enum(['open', 'closed']),
  closed: z.string().nullable().describe('EDTF'),
  closing: closingSchema.nullable(),
  entrySeq: z.int(),
  recordedAt: dateTime,
  version: versionSchema,
});

export function campaignView(row: CampaignRow): z.infer<typeof campaignAnswer> {
  return {
    ...row,
    people: row.people as z.infer<typeof campaignPersonSchema>[],
    closing: row.closing as z.infer<typeof closingSchema> | null,
    entrySeq: Number(row.entrySeq),
    recordedAt: row.recordedAt.toISOString(),
    version: Number(row.version),
  };
}
