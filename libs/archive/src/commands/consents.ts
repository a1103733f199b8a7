import { z } from 'zod';
import { Problem } from '#libs/problem';
import { type CommandContext, defineCommand, type ProjectedEntry } from '../command.js';
import { checkedEdtf, happenedSchema } from '../happened.js';
import { placedName } from '../names/name-places.js';
import { type EntryName, sealName } from '../names/sealed-name.js';
import { checkMedia, siteOf } from '../place.js';
import type { ProposalRow } from '../rows.js';
import { idSchema, noteText, shortText } from '../shapes.js';
import { changeRows, findRow, putRow } from '../tables.js';
import type { Tx } from '../tx.js';
import { unknown } from '../unknown.js';
import { type ConsentCondition, consentView, dueSchema } from '../views/proposal-view.js';
import type { ProposalLine } from '../works/proposal-line.js';
import { knownIssue, subjectOf } from './proposals.js';

const saidOfConsent = {
  decision: z.enum(['given', 'refused']),
  lineNumbers: z.array(z.int().min(1)).max(100).default([]).describe('from 1; empty: all of it'),
  expires: happenedSchema.optional().describe('until when it is good, EDTF'),
  conditions: z
    .array(z.strictObject({ text: noteText, due: dueSchema.default('before-close') }))
    .max(30)
    .default([]),
  note: noteText.optional(),
};

export const giveConsentBody = z.strictObject({
  ...saidOfConsent,
  digest: z.string().max(80).describe('of the proposal as it was read'),
  happened: happenedSchema.describe('day of the answer, EDTF'),
});

/**
 * An answer in the program, by the person who gives it. Who proposed and who consents are two people
 * where there are two; a studio of one may answer itself, and the record says so.
 */
export const giveConsent = defineCommand({
  type: 'consent.give',
  body: giveConsentBody.extend({ issueId: idSchema }),
  role: 'approver',
  target: 'proposal',
  status: 201,
  siteOf: async ({ issueId }, tx) => (await knownIssue(tx, issueId)).siteId,
  async decide({ issueId, digest, ...said }, ctx) {
    const row = await knownIssue(ctx.tx, issueId);
    if (row.state === 'draft') {
      throw new Problem('proposal-not-sent', 'This is a draft. It is answered once it was sent.');
    }
    if (row.state === 'superseded') {
      throw new Problem(
        'proposal-superseded',
        'A later issue takes the place of this one. Read that, and answer it.',
      );
    }
    if (digest !== row.digest) {
      throw new Problem(
        'stale-version',
        'This is not the text that you read. Read the proposal again, then answer.',
        { field: 'digest' },
      );
    }
    const isOwn = row.writtenBy === ctx.actorId || row.sentBy === ctx.actorId;
    if (isOwn && (await mayAnother(ctx, row.siteId))) {
      throw new Problem(
        'own-proposal',
        'You wrote or sent this proposal, and somebody else may answer it. Ask them, or record their letter.',
      );
    }
    return {
      log: { siteId: row.siteId },
      subject: subjectOf(row),
      happened: checkedEdtf(said.happened)!,
      payload: {
        ...answerTo(ctx, row, said),
        how: 'program' as const,
        byText: null,
        forWhom: null,
        mediaId: null,
        isOnePerson: isOwn,
      },
    };
  },
  project: (entry, tx) => putConsent(entry, tx, entry.actorId),
  answer: ({ payload }, tx) => answered(tx, payload.consentId),
});

export const recordConsentBody = z.strictObject({
  ...saidOfConsent,
  by: shortText.describe('who signed; kept sealed'),
  forWhom: shortText.optional().describe('body or office that it speaks for; no name of a person'),
  happened: happenedSchema.describe('date of the letter, EDTF'),
  mediaId: idSchema.optional().describe('scan of the letter'),
});

/** An answer that came by letter. */
export const recordConsent = defineCommand({
  type: 'consent.record',
  body: recordConsentBody.extend({ issueId: idSchema }),
  role: 'conservator',
  target: 'proposal',
  status: 201,
  siteOf: async ({ issueId }, tx) => (await knownIssue(tx, issueId)).siteId,
  async decide({ issueId, by, forWhom, mediaId, ...said }, ctx) {
    const row = await knownIssue(ctx.tx, issueId);
    const { siteId } = row;
    if (mediaId !== undefined) await checkMedia(ctx.tx, siteId, [mediaId], 'mediaId');
    return {
      log: { siteId },
      subject: subjectOf(row),
      happened: checkedEdtf(said.happened)!,
      payload: {
        ...answerTo(ctx, row, said),
        how: 'letter' as const,
        byText: await sealName(ctx.tx, by, { siteId, field: 'byText' }, ctx.now),
        forWhom: forWhom ?? null,
        mediaId: mediaId ?? null,
        isOnePerson: false,
      },
    };
  },
  project: (entry, tx) => putConsent(entry, tx, null),
  answer: ({ payload }, tx) => answered(tx, payload.consentId),
});

export const dischargeConditionBody = z.strictObject({
  how: noteText.describe('how it was met'),
  happened: happenedSchema.describe('when, EDTF'),
  mediaId: idSchema.optional().describe('picture or document that shows it'),
});

/** A condition of a consent was met. */
export const dischargeCondition = defineCommand({
  type: 'consent.discharge',
  body: dischargeConditionBody.extend({ consentId: idSchema, conditionId: idSchema }),
  role: 'conservator',
  target: 'consent',
  siteOf: ({ consentId }, tx) => siteOf(tx, 'consent', consentId),
  async decide({ consentId, conditionId, how, happened, mediaId }, ctx) {
    const row = await findRow(ctx.tx, 'consent', { consentId });
    if (row === undefined) throw unknown('consent');
    const condition = (row.conditions as ConsentCondition[]).find(
      (one) => one.conditionId === conditionId,
    );
    if (condition === undefined) throw unknown('consent');
    if (condition.discharged !== null) {
      throw new Problem(
        'condition-met',
        `Somebody said on ${condition.discharged.happened} that it was met.`,
      );
    }
    if (mediaId !== undefined) await checkMedia(ctx.tx, row.siteId, [mediaId], 'mediaId');
    const proposal = await findRow(ctx.tx, 'proposal', {
      proposalId: row.proposalId,
      issue: row.issue,
    });
    return {
      log: { siteId: row.siteId },
      subject: subjectOf(proposal!),
      happened: checkedEdtf(happened)!,
      payload: { consentId, conditionId, how, mediaId: mediaId ?? null },
      supersedes: { seq: Number(row.version) },
    };
  },
  async project(entry, tx) {
    const { consentId, conditionId, how, mediaId } = entry.payload;
    const row = (await findRow(tx, 'consent', { consentId }))!;
    const discharged = { how, happened: entry.happened!, by: entry.actorId, mediaId };
    const conditions = (row.conditions as ConsentCondition[]).map((one) =>
      one.conditionId === conditionId ? { ...one, discharged } : one,
    );
    await changeRows(tx, 'consent', { consentId }, { conditions, version: entry.seq });
  },
  answer: ({ payload }, tx) => answered(tx, payload.consentId),
});

interface Said {
  decision: 'given' | 'refused';
  lineNumbers: number[];
  expires?: string | undefined;
  conditions: { text: string; due: 'before-work' | 'before-close' }[];
  note?: string | undefined;
}

/** @throws {Problem} `request-invalid` for a line that the proposal has not, `date-invalid` */
function answerTo(ctx: CommandContext, row: ProposalRow, said: Said) {
  const count = (row.lines as ProposalLine[]).length;
  const beyond = said.lineNumbers.find((number) => number > count);
  if (beyond !== undefined) {
    throw new Problem('request-invalid', `lineNumbers: the proposal has no line ${beyond}.`, {
      field: 'lineNumbers',
    });
  }
  return {
    consentId: ctx.newId(),
    campaignId: row.campaignId,
    issueId: row.issueId,
    proposalId: row.proposalId,
    issue: row.issue,
    digest: row.digest,
    decision: said.decision,
    lineNumbers: [...new Set(said.lineNumbers)].sort((a, b) => a - b),
    expires: checkedEdtf(said.expires, 'expires'),
    conditions: said.conditions.map(({ text, due }) => ({ conditionId: ctx.newId(), text, due })),
    note: said.note ?? null,
  };
}

type ConsentPayload = ReturnType<typeof answerTo> & {
  how: 'program' | 'letter';
  byText: EntryName | null;
  forWhom: string | null;
  mediaId: string | null;
  isOnePerson: boolean;
};

async function putConsent(
  entry: ProjectedEntry<ConsentPayload>,
  tx: Tx,
  byPersonId: string | null,
): Promise<void> {
  const { issueId, byText, conditions, ...said } = entry.payload;
  const at = { kind: 'consent', rowId: said.consentId, field: 'byText' } as const;
  await putRow(tx, 'consent', {
    siteId: entry.siteId!,
    ...said,
    byPersonId,
    byText: await placedName(tx, entry, at, byText),
    happened: entry.happened!,
    conditions: conditions.map((one) => ({ ...one, discharged: null })),
    entrySeq: entry.seq,
    recordedAt: entry.recordedAt,
    version: entry.seq,
  });
  const state = said.decision === 'given' ? 'consented' : 'refused';
  await changeRows(tx, 'proposal', { issueId }, { state, version: entry.seq });
}

/** Whether somebody else may consent for this site. */
async function mayAnother({ tx, actorId }: CommandContext, siteId: string): Promise<boolean> {
  const other = await tx.first(
    `SELECT 1 FROM role_grant g JOIN person p USING (person_id)
     WHERE g.role IN ('approver', 'keeper') AND (g.site_id IS NULL OR g.site_id = $1)
       AND g.person_id <> $2 AND NOT p.disabled AND p.erased_at IS NULL LIMIT 1`,
    [siteId, actorId],
    ['role_grant', 'person'],
  );
  return other !== undefined;
}

async function answered(tx: Tx, consentId: string) {
  return consentView((await findRow(tx, 'consent', { consentId }))!);
}
