import { z } from 'zod';
import { Problem } from '#libs/problem';
import { defineCommand } from '../command.js';
import { putFlags, raiseFlags, refuseOverOpenFlags } from '../flags.js';
import { checkedEdtf, happenedSchema } from '../happened.js';
import { siteOf, sitePlace } from '../place.js';
import type { CampaignRow } from '../rows.js';
import { idSchema, markText, noteText, shortText } from '../shapes.js';
import { checkedSubjects } from '../subjects.js';
import { changeRows, findRow, putRow } from '../tables.js';
import type { Tx } from '../tx.js';
import { unknown } from '../unknown.js';
import { campaignPersonSchema, campaignView, closingSchema } from '../views/campaign-view.js';
import { commonMark } from '../works/common-mark.js';
import { openConditions } from '../works/open-conditions.js';
import { presentPerson } from './person-rows.js';

const scopeSchema = z.array(markText).min(1, 'name at least one window or panel').max(400);
const peopleSchema = z.array(campaignPersonSchema).max(100);

export const beginCampaignBody = z.strictObject({
  title: shortText,
  scope: scopeSchema.describe('windows and panels, as marks'),
  people: peopleSchema.default([]).describe('who does what; one person may do it all'),
  happened: happenedSchema.describe('when it begins, EDTF'),
  note: noteText.optional(),
});

export const beginCampaign = defineCommand({
  type: 'campaign.begin',
  body: beginCampaignBody.extend({ siteId: idSchema }),
  role: 'conservator',
  target: 'site',
  status: 201,
  siteOf: async ({ siteId }, tx) => (await sitePlace(tx, siteId)).siteId,
  async decide({ siteId, title, scope, people, happened, note }, ctx) {
    const marks = await checkedSubjects(ctx.tx, siteId, scope, 'scope');
    for (const { personId } of people) await presentPerson(ctx.tx, personId);
    return {
      log: { siteId },
      subject: commonMark(marks),
      happened: checkedEdtf(happened),
      payload: { campaignId: ctx.newId(), title, scope: marks, people, note: note ?? null },
    };
  },
  async project(entry, tx) {
    await putRow(tx, 'campaign', {
      siteId: entry.siteId!,
      ...entry.payload,
      began: entry.happened!,
      state: 'open',
      closed: null,
      closing: null,
      entrySeq: entry.seq,
      recordedAt: entry.recordedAt,
      version: entry.seq,
    });
  },
  answer: ({ payload }, tx) => answered(tx, payload.campaignId),
});

export const extendCampaignBody = z.strictObject({
  scope: scopeSchema.optional().describe('all of it, not only what comes to it'),
  people: peopleSchema.optional().describe('all of them'),
  title: shortText.optional(),
  note: noteText.optional().describe('why it is extended'),
});

/** What the campaign covers and who works in it, from this entry on. What was recorded in it stays. */
export const extendCampaign = defineCommand({
  type: 'campaign.extend',
  body: extendCampaignBody.extend({ campaignId: idSchema }),
  role: 'conservator',
  target: 'campaign',
  siteOf: ({ campaignId }, tx) => siteOf(tx, 'campaign', campaignId),
  async decide({ campaignId, ...said }, ctx) {
    const row = await openCampaign(ctx.tx, campaignId);
    ctx.expectVersion(row.version);
    const scope =
      said.scope === undefined
        ? row.scope
        : await checkedSubjects(ctx.tx, row.siteId, said.scope, 'scope');
    for (const { personId } of said.people ?? []) await presentPerson(ctx.tx, personId);
    const before = campaignView(row);
    return {
      log: { siteId: row.siteId },
      subject: commonMark(scope),
      happened: null,
      payload: {
        campaignId,
        title: said.title ?? row.title,
        scope,
        people: said.people ?? before.people,
        note: said.note ?? row.note,
      },
      supersedes: { seq: Number(row.version) },
    };
  },
  async project(entry, tx) {
    const { campaignId, ...said } = entry.payload;
    await changeRows(tx, 'campaign', { campaignId }, { ...said, version: entry.seq });
  },
  answer: ({ payload }, tx) => answered(tx, payload.campaignId),
});

export const closeCampaignBody = closingSchema.extend({
  happened: happenedSchema.describe('when the work ended, EDTF'),
});

/**
 * The end of a campaign. Over open flags nobody closes it; a condition of a consent that nobody said was
 * met is no reason to deny that the work has ended, and is flagged.
 */
export const closeCampaign = defineCommand({
  type: 'campaign.close',
  body: closeCampaignBody.extend({ campaignId: idSchema }),
  role: 'conservator',
  target: 'campaign',
  siteOf: ({ campaignId }, tx) => siteOf(tx, 'campaign', campaignId),
  async decide({ campaignId, happened, ...closing }, ctx) {
    const row = await openCampaign(ctx.tx, campaignId);
    if (ctx.ifMatch !== undefined) ctx.expectVersion(row.version);
    checkedEdtf(closing.nextInspection, 'nextInspection');
    await refuseOverOpenFlags(ctx.tx, { siteId: row.siteId, campaignId });
    const subject = commonMark(row.scope);
    const open = await openConditions(ctx.tx, campaignId);
    return {
      log: { siteId: row.siteId },
      subject,
      happened: checkedEdtf(happened),
      payload: {
        campaignId,
        closing,
        flags: raiseFlags(
          ctx,
          open.map(({ text, given }) => ({
            kind: 'consent-condition-open',
            subject,
            campaignId,
            said: { condition: text, given },
          })),
        ),
      },
      supersedes: { seq: Number(row.version) },
    };
  },
  async project(entry, tx) {
    const { campaignId, closing, flags } = entry.payload;
    const end = { state: 'closed', closed: entry.happened, closing, version: entry.seq } as const;
    await changeRows(tx, 'campaign', { campaignId }, end);
    await putFlags(tx, entry, flags);
  },
  answer: ({ payload }, tx) => answered(tx, payload.campaignId),
});

/** @throws {Problem} `campaign-unknown`, `campaign-closed` */
export async function openCampaign(tx: Tx, campaignId: string): Promise<CampaignRow> {
  const row = await findRow(tx, 'campaign', { campaignId });
  if (row === undefined) throw unknown('campaign');
  if (row.state === 'open') return row;
  throw new Problem(
    'campaign-closed',
    `This campaign was closed on ${row.closed}. Begin another one for what follows.`,
  );
}

async function answered(tx: Tx, campaignId: string) {
  return campaignView((await findRow(tx, 'campaign', { campaignId }))!);
}
