import { z } from 'zod';
import { CUSTODY_CONDITIONS } from '#libs/custody';
import { passingOf } from '../custody/custody-facts.js';
import type { CrateRow, HandoverRow, MovementRow, WorkStepRow } from '../rows.js';
import { dateTime, idSchema, versionSchema } from '../shapes.js';

const massKg = z.number().positive().max(5000);
const lengthMm = z.number().positive().max(10_000);

export const crateLimitsSchema = z.strictObject({
  emptyKg: massKg.optional().describe('of the empty crate, weighed'),
  mostKg: massKg.optional().describe('most that it may weigh with all in it, as the studio states'),
  widthMm: lengthMm.optional().describe('widest panel that goes in'),
  heightMm: lengthMm.optional().describe('tallest panel that goes in'),
});

export const crateAnswer = z.object({
  crateId: idSchema,
  siteId: idSchema,
  mark: z.string().describe('what is written on it'),
  slots: z.int(),
  limits: crateLimitsSchema,
  note: z.string().nullable(),
  recordedAt: dateTime,
  version: versionSchema,
});

export function crateView(row: CrateRow): z.infer<typeof crateAnswer> {
  return {
    crateId: row.crateId,
    siteId: row.siteId,
    mark: row.mark,
    slots: row.slots,
    limits: row.limits as z.infer<typeof crateLimitsSchema>,
    note: row.note,
    recordedAt: row.recordedAt.toISOString(),
    version: Number(row.version),
  };
}

/** A place as it is answered: see At of libs/custody. */
export const atAnswer = z.discriminatedUnion('kind', [
  z.object({ kind: z.literal('opening') }).describe('in its opening'),
  z.object({ kind: z.literal('window') }).describe('out of its opening, no other place said'),
  z.object({ kind: z.literal('bench') }),
  z.object({ kind: z.literal('place'), place: z.string() }),
  z.object({ kind: z.literal('holder'), role: z.string(), place: z.string().nullable() }),
  z.object({ kind: z.literal('crate'), crateId: idSchema }),
  z.object({ kind: z.literal('whole') }).describe('with what it is part of'),
]);
type AtAnswer = z.infer<typeof atAnswer>;

export const seenAnswer = z.object({
  key: z.string().describe('mark, or mark and sample'),
  condition: z.enum(CUSTODY_CONDITIONS),
  note: z.string().nullable(),
  images: z.array(idSchema),
});

export const handoverAnswer = z.object({
  handoverId: idSchema,
  movementId: idSchema,
  side: z.enum(['sender', 'receiver']),
  byPerson: idSchema.describe('who recorded it'),
  byRole: z.string().nullable(),
  byName: z.string().nullable().describe('who signed, where it was another person'),
  paper: idSchema.nullable().describe('mediaId of the signed paper'),
  seen: z.array(seenAnswer),
  unpackedTo: atAnswer.nullable(),
  note: z.string().nullable(),
  happened: z.string().nullable(),
  recordedAt: dateTime,
});

export function handoverView(row: HandoverRow): z.infer<typeof handoverAnswer> {
  return {
    handoverId: row.handoverId,
    movementId: row.movementId,
    side: row.side,
    byPerson: row.byPerson,
    byRole: row.byRole,
    byName: row.byName,
    paper: row.paper,
    seen: row.seen as z.infer<typeof seenAnswer>[],
    unpackedTo: row.unpackedTo as AtAnswer | null,
    note: row.note,
    happened: row.happened,
    recordedAt: row.recordedAt.toISOString(),
  };
}

export const movementAnswer = z.object({
  movementId: idSchema,
  siteId: idSchema,
  things: z.array(z.string()).describe('marks, or mark and sample: SLM.wI.3b.17 sample C1'),
  crateIds: z.array(idSchema),
  fromCrateId: idSchema.nullable(),
  to: atAnswer,
  slots: z.record(z.string(), z.string()),
  holderName: z.string().nullable(),
  why: z.string().nullable(),
  temporary: z.boolean(),
  expectedReturn: z.string().nullable(),
  passing: z.enum(['none', 'due', 'given', 'taken']).describe('how far a change of hands has come'),
  handovers: z.array(handoverAnswer),
  happened: z.string().nullable(),
  state: z.enum(['recorded', 'withdrawn']),
  entrySeq: z.int(),
  recordedAt: dateTime,
  version: versionSchema,
});

export function movementView(
  row: MovementRow,
  handovers: readonly HandoverRow[],
): z.infer<typeof movementAnswer> {
  const to = row.toPlace as AtAnswer;
  return {
    movementId: row.movementId,
    siteId: row.siteId,
    things: row.things,
    crateIds: row.crates,
    fromCrateId: row.fromCrateId,
    to,
    slots: row.slots as Record<string, string>,
    holderName: row.holderName,
    why: row.why,
    temporary: row.temporary,
    expectedReturn: row.expectedReturn,
    passing: passingOf(to, handovers),
    handovers: handovers.map(handoverView),
    happened: row.happened,
    state: row.state,
    entrySeq: Number(row.entrySeq),
    recordedAt: row.recordedAt.toISOString(),
    version: Number(row.version),
  };
}

export const WORK_STEPS = [
  'protect',
  'remove',
  'lift',
  'dismantle',
  'check',
  'sign',
  'refix',
] as const;

export const workStepAnswer = z.object({
  stepId: idSchema,
  siteId: idSchema,
  windowId: idSchema,
  panelId: idSchema.nullable(),
  marks: z.array(z.string()),
  kind: z.enum(WORK_STEPS),
  detail: z.record(z.string(), z.unknown()).describe('as the body that recorded it'),
  images: z.array(idSchema),
  byPerson: idSchema,
  happened: z.string().nullable(),
  entrySeq: z.int(),
  recordedAt: dateTime,
  version: versionSchema,
});

export function workStepView(row: WorkStepRow): z.infer<typeof workStepAnswer> {
  return {
    stepId: row.stepId,
    siteId: row.siteId,
    windowId: row.windowId,
    panelId: row.panelId,
    marks: row.marks,
    kind: row.kind as (typeof WORK_STEPS)[number],
    detail: row.detail as Record<string, unknown>,
    images: row.images,
    byPerson: row.byPerson,
    happened: row.happened,
    entrySeq: Number(row.entrySeq),
    recordedAt: row.recordedAt.toISOString(),
    version: Number(row.version),
  };
}
