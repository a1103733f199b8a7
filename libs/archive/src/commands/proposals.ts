import { z } from 'zod';
import { Problem } from '#libs/problem';
import { OPERATIONS } from '#libs/vocabulary';
import { type CommandContext, defineCommand } from '../command.js';
import { checkedEdtf, happenedSchema } from '../happened.js';
import { placedName } from '../names/name-places.js';
import { type EntryName, sealName } from '../names/sealed-name.js';
import { siteOf } from '../place.js';
import type { ProposalRow } from '../rows.js';
import { idSchema, noteText, shortText } from '../shapes.js';
import { getJson, inlineOrObject } from '../stored-json.js';
import { checkedSubjects } from '../subjects.js';
import { changeRows, findRow, findRows, putRow } from '../tables.js';
import type { Tx } from '../tx.js';
import { unknown } from '../unknown.js';
import { proposalView } from '../views/proposal-view.js';
import { commonMark } from '../works/common-mark.js';
import { proposalDigest } from '../works/proposal-digest.js';
import { type ProposalLine, proposalLineSchema } from '../works/proposal-line.js';
import { openCampaign } from './campaigns.js';

export const writeProposalBody = z.strictObject({
  proposalId: idSchema.optional().describe('what is revised; left out for a further proposal'),
  title: shortText,
  lines: z.array(proposalLineSchema).min(1).max(100),
  note: noteText.optional().describe('for the studio; not part of what is consented to'),
});

/**
 * What is proposed for the places of a campaign. A draft is written over; what was sent stays as it was
 * sent, and the next writing is another issue of it.
 */
export const writeProposal = defineCommand({
  type: 'proposal.write',
  body: writeProposalBody.extend({ campaignId: idSchema }),
  role: 'conservator',
  target: 'campaign',
  status: 201,
  siteOf: ({ campaignId }, tx) => siteOf(tx, 'campaign', campaignId),
  async decide({ campaignId, proposalId, title, note, ...said }, ctx) {
    const { siteId } = await openCampaign(ctx.tx, campaignId);
    const lines = await checkedLines(ctx.tx, siteId, said.lines);
    const before =
      proposalId === undefined ? undefined : await newestIssue(ctx.tx, campaignId, proposalId);
    if (before !== undefined) ctx.expectVersion(before.version);
    const isDraft = before?.state === 'draft';
    const kept = await inlineOrObject(ctx.objects, lines, 'proposal');
    return {
      log: { siteId },
      subject: commonMark(lines.flatMap((line) => line.subjects)),
      happened: null,
      payload: {
        issueId: isDraft ? before.issueId : ctx.newId(),
        proposalId: before?.proposalId ?? ctx.newId(),
        issue: before === undefined ? 1 : before.issue + (isDraft ? 0 : 1),
        campaignId,
        title,
        lines: kept.inline as ProposalLine[] | null,
        linesDigest: kept.object?.digest ?? null,
        digest: proposalDigest(title, lines),
        note: note ?? null,
      },
      ...(kept.object === null ? {} : { objects: [kept.object] }),
      ...(before === undefined ? {} : { supersedes: { seq: Number(before.version) } }),
    };
  },
  async project(entry, tx, { objects }) {
    const { lines, linesDigest, ...said } = entry.payload;
    if (said.issue > 1) {
      await tx.run(
        `UPDATE proposal SET state = 'superseded' WHERE proposal_id = $1 AND issue < $2 AND state = 'sent'`,
        [said.proposalId, said.issue],
        ['proposal'],
      );
    }
    await putRow(tx, 'proposal', {
      siteId: entry.siteId!,
      ...said,
      lines: lines ?? (await getJson(objects, linesDigest!)),
      state: 'draft',
      writtenBy: entry.actorId,
      sentBy: null,
      sentHow: null,
      sentTo: null,
      sent: null,
      entrySeq: entry.seq,
      recordedAt: entry.recordedAt,
      version: entry.seq,
    });
  },
  answer: ({ payload }, tx) => answered(tx, payload.issueId),
});

export const sendProposalBody = z.strictObject({
  how: z.enum(['program', 'letter', 'by-hand']).describe('program: by a link to this page'),
  to: shortText.describe('to whom; kept sealed'),
  happened: happenedSchema.describe('when, EDTF'),
});

/** A draft goes out: from here on it stays as it is. */
export const sendProposal = defineCommand({
  type: 'proposal.send',
  body: sendProposalBody.extend({ issueId: idSchema }),
  role: 'conservator',
  target: 'proposal',
  siteOf: async ({ issueId }, tx) => (await knownIssue(tx, issueId)).siteId,
  async decide({ issueId, how, to, happened }, ctx) {
    const row = await knownIssue(ctx.tx, issueId);
    if (ctx.ifMatch !== undefined) ctx.expectVersion(row.version);
    if (row.state !== 'draft') {
      throw new Problem(
        'proposal-sent',
        'This issue was sent already. Write another issue to send something else.',
      );
    }
    return {
      log: { siteId: row.siteId },
      subject: subjectOf(row),
      happened: checkedEdtf(happened),
      payload: { issueId, how, to: await sealed(ctx, row.siteId, to), digest: row.digest },
      supersedes: { seq: Number(row.version) },
    };
  },
  async project(entry, tx) {
    const { issueId, how, to } = entry.payload;
    const at = { kind: 'proposal', rowId: issueId, field: 'to' } as const;
    const sentTo = await placedName(tx, entry, at, to);
    const sent = { sentBy: entry.actorId, sentHow: how, sentTo, sent: entry.happened };
    await changeRows(tx, 'proposal', { issueId }, { state: 'sent', ...sent, version: entry.seq });
  },
  answer: ({ payload }, tx) => answered(tx, payload.issueId),
});

async function sealed(ctx: CommandContext, siteId: string, name: string): Promise<EntryName> {
  return sealName(ctx.tx, name, { siteId, field: 'to' }, ctx.now);
}

/** @throws {Problem} `proposal-unknown` */
export async function knownIssue(tx: Tx, issueId: string): Promise<ProposalRow> {
  const row = await findRow(tx, 'proposal', { issueId });
  if (row === undefined) throw unknown('proposal');
  return row;
}

/** The place that a proposal is about: the smallest that holds all of its lines. */
export function subjectOf(row: Pick<ProposalRow, 'lines'>): string {
  return commonMark((row.lines as ProposalLine[]).flatMap((line) => line.subjects));
}

async function newestIssue(tx: Tx, campaignId: string, proposalId: string): Promise<ProposalRow> {
  const [newest] = await findRows(
    tx,
    'proposal',
    { campaignId, proposalId },
    'ORDER BY issue DESC',
  );
  if (newest === undefined) throw unknown('proposal');
  return newest;
}

async function checkedLines(
  tx: Tx,
  siteId: string,
  said: readonly ProposalLine[],
): Promise<ProposalLine[]> {
  const lines: ProposalLine[] = [];
  for (const [i, line] of said.entries()) {
    const at = `lines[${i}]`;
    if (line.chosen >= line.options.length) {
      throw new Problem('request-invalid', `${at}.chosen: there is no option ${line.chosen}.`, {
        field: `${at}.chosen`,
      });
    }
    for (const key of line.options.flatMap((option) => option.operations)) {
      if (OPERATIONS.some((one) => one.key === key)) continue;
      throw new Problem(
        'operation-unknown',
        `${at}: there is no ${JSON.stringify(key)}. /v1/operations lists them.`,
        { field: `${at}.options` },
      );
    }
    const subjects = await checkedSubjects(tx, siteId, line.subjects, `${at}.subjects`);
    lines.push({ ...line, subjects });
  }
  return lines;
}

async function answered(tx: Tx, issueId: string) {
  return proposalView(await knownIssue(tx, issueId));
}
