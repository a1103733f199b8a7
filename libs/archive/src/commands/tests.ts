import { z } from 'zod';
import { panelMarkOf } from '#libs/custody';
import type { XyMm } from '#libs/net';
import { Problem } from '#libs/problem';
import { testKind } from '#libs/vocabulary';
import { defineCommand } from '../command.js';
import { checkedEdtf, happenedSchema } from '../happened.js';
import { checkMedia, siteOf, sitePlace } from '../place.js';
import { checkedPoints } from '../placed-geometry.js';
import type { TestRow } from '../rows.js';
import { idSchema, markText, noteText, shortText, xyMmSchema } from '../shapes.js';
import { checkedSubjects } from '../subjects.js';
import { changeRows, findRow, putRow } from '../tables.js';
import type { Tx } from '../tx.js';
import { unknown } from '../unknown.js';
import { testKindSchema, testView } from '../views/test-view.js';
import { without } from '../without.js';
import { takeBack } from './take-back.js';

const resultShape = {
  outcome: z.string().min(1).max(40).describe('one that this kind of test can have'),
  result: noteText.optional().describe('in words, with figures'),
  evidence: z.array(idSchema).max(50).default([]).describe('mediaIds: the report of a laboratory'),
};

export const recordTestBody = z.strictObject({
  subject: markText.describe('piece, lead, panel or window that was tested'),
  kind: testKindSchema,
  place: noteText.describe('where on it, in words'),
  atMm: xyMmSchema
    .optional()
    .describe('the place itself, in the panel’s frame; only on a panel or on what lies in one'),
  method: noteText,
  byRole: shortText.optional().describe('who tested, by role'),
  sample: noteText.optional().describe('what was taken and where it is kept'),
  images: z.array(idSchema).max(200).default([]),
  happened: happenedSchema.describe('day of the test, EDTF'),
  known: z
    .strictObject(resultShape)
    .optional()
    .describe('left out where the result is awaited from a laboratory'),
});

export const recordTest = defineCommand({
  type: 'test.record',
  body: recordTestBody.extend({ siteId: idSchema }),
  role: 'recorder',
  target: 'site',
  status: 201,
  siteOf: async ({ siteId }, tx) => (await sitePlace(tx, siteId)).siteId,
  async decide({ siteId, happened, subject, known, atMm, ...said }, ctx) {
    const [full] = await checkedSubjects(ctx.tx, siteId, [subject], 'subject');
    const place = atMm === undefined ? null : checkedPlace(full!, atMm);
    await checkMedia(ctx.tx, siteId, said.images, 'images');
    if (known !== undefined) {
      checkOutcome(said.kind, known.outcome);
      await checkMedia(ctx.tx, siteId, known.evidence, 'known.evidence');
    }
    return {
      log: { siteId },
      subject: full!,
      happened: checkedEdtf(happened),
      payload: {
        v: 2 as const,
        testId: ctx.newId(),
        subject: full!,
        ...said,
        atMm: place,
        byRole: said.byRole ?? null,
        sample: said.sample ?? null,
        outcome: known?.outcome ?? null,
        result: known?.result ?? null,
        evidence: known?.evidence ?? [],
      },
    };
  },
  async project(entry, tx) {
    const { atMm, ...said } = without(entry.payload, 'v');
    await putRow(tx, 'test', {
      siteId: entry.siteId!,
      ...said,
      atXMm: atMm?.[0] ?? null,
      atYMm: atMm?.[1] ?? null,
      happened: entry.happened!,
      knownOn: said.outcome === null ? null : entry.happened,
      testerId: entry.actorId,
      state: 'recorded',
      entrySeq: entry.seq,
      recordedAt: entry.recordedAt,
      version: entry.seq,
    });
  },
  answer: ({ payload }, tx) => answered(tx, payload.testId),
});

export const answerTestBody = z.strictObject({
  ...resultShape,
  happened: happenedSchema.describe('day of the result, EDTF'),
});

/** The result of a sample that was sent away. */
export const answerTest = defineCommand({
  type: 'test.answer',
  body: answerTestBody.extend({ testId: idSchema }),
  role: 'recorder',
  target: 'test',
  siteOf: ({ testId }, tx) => siteOf(tx, 'test', testId),
  async decide({ testId, outcome, result, evidence, happened }, ctx) {
    const row = await openTest(ctx.tx, testId);
    if (row.outcome !== null) {
      throw new Problem(
        'test-closed',
        'This test has its result already. Withdraw it and record it again if that was wrong.',
      );
    }
    checkOutcome(row.kind, outcome);
    await checkMedia(ctx.tx, row.siteId, evidence, 'evidence');
    return {
      log: { siteId: row.siteId },
      subject: row.subject,
      happened: checkedEdtf(happened),
      payload: { testId, outcome, result: result ?? null, evidence },
      supersedes: { seq: Number(row.entrySeq) },
    };
  },
  async project(entry, tx) {
    const { testId, ...known } = entry.payload;
    await changeRows(
      tx,
      'test',
      { testId },
      { ...known, knownOn: entry.happened, entrySeq: entry.seq, version: entry.seq },
    );
  },
  answer: ({ payload }, tx) => answered(tx, payload.testId),
});

export const withdrawTestBody = z.strictObject({ reason: noteText });

export const withdrawTest = defineCommand({
  type: 'test.withdraw',
  body: withdrawTestBody.extend({ testId: idSchema }),
  role: 'recorder',
  target: 'test',
  siteOf: ({ testId }, tx) => siteOf(tx, 'test', testId),
  async decide({ testId, reason }, ctx) {
    const row = await openTest(ctx.tx, testId);
    return takeBack(ctx, row, { subject: row.subject, payload: { testId, reason } });
  },
  async project(entry, tx) {
    const { testId } = entry.payload;
    await changeRows(
      tx,
      'test',
      { testId },
      { state: 'withdrawn', entrySeq: entry.seq, version: entry.seq },
    );
  },
  answer: ({ payload }, tx) => answered(tx, payload.testId),
});

/** @throws {Problem} `geometry-invalid` where the subject is no panel and nothing in one */
function checkedPlace(subject: string, atMm: XyMm): XyMm {
  if (panelMarkOf(subject) === null)
    throw new Problem(
      'geometry-invalid',
      `atMm: ${subject} is no panel and lies in none, and the place is measured from a panel’s corner. Name the panel or the piece, or say the place in words.`,
      { field: 'atMm' },
    );
  return checkedPoints([atMm])[0]!;
}

async function openTest(tx: Tx, testId: string): Promise<TestRow> {
  const row = await findRow(tx, 'test', { testId });
  if (row === undefined) throw unknown('test');
  if (row.state === 'recorded') return row;
  throw new Problem('test-closed', 'This test is withdrawn. Record a new one.');
}

function checkOutcome(kind: string, outcome: string): void {
  const outcomes = testKind(kind)!.outcomes.map(({ key }) => key);
  if (outcomes.includes(outcome)) return;
  throw new Problem(
    'outcome-invalid',
    `outcome: a test of this kind ends with one of ${outcomes.join(', ')}.`,
    { field: 'outcome' },
  );
}

async function answered(tx: Tx, testId: string) {
  return testView((await findRow(tx, 'test', { testId }))!);
}
