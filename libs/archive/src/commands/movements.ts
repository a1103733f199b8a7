import { z } from 'zod';
import { CustodyLedger, packingFault, panelMarkOf, readThing } from '#libs/custody';
import { Problem } from '#libs/problem';
import { defineCommand } from '../command.js';
import {
  checkedCrates,
  destinationSchema,
  placeTo,
  thingKeys,
  thingSchema,
} from '../custody/custody-body.js';
import { custodyFacts, settledDay } from '../custody/custody-facts.js';
import { type CustodySeed, raiseInCampaign } from '../custody/custody-flags.js';
import { putFlags } from '../flags.js';
import { checkedEdtf, happenedSchema } from '../happened.js';
import { placedName } from '../names/name-places.js';
import { sealName } from '../names/sealed-name.js';
import { siteOf, sitePlace } from '../place.js';
import type { MovementRow } from '../rows.js';
import { idSchema, noteText } from '../shapes.js';
import { changeRows, findRow, findRows, putRow } from '../tables.js';
import type { Tx } from '../tx.js';
import { unknown } from '../unknown.js';
import { movementView } from '../views/custody-view.js';
import { without } from '../without.js';
import { commonMark } from '../works/common-mark.js';
import { takeBack, takenBack } from './take-back.js';

export const recordMovementBody = z
  .strictObject({
    things: z
      .array(
        thingSchema.extend({
          slot: z
            .string()
            .trim()
            .min(1)
            .max(12)
            .optional()
            .describe('of the crate that it goes into'),
        }),
      )
      .max(500)
      .default([]),
    crateIds: z.array(idSchema).max(100).default([]).describe('crates, with all that lies in them'),
    fromCrateId: idSchema.optional().describe('crate that the things come out of'),
    to: destinationSchema,
    why: noteText.optional(),
    temporary: z.boolean().default(false),
    expectedReturn: happenedSchema.optional().describe('when it is to come back, EDTF'),
    happened: happenedSchema.optional(),
  })
  .refine(({ things, crateIds }) => things.length + crateIds.length > 0, {
    message: 'name what is moved: things or crateIds',
    path: ['things'],
  })
  .refine(({ crateIds, to }) => crateIds.length === 0 || !['crate', 'whole'].includes(to.kind), {
    message: 'a crate goes to a place or to somebody, never into a crate',
    path: ['to'],
  });

/**
 * Things, or crates with all in them, go to another place, into other hands or into a crate. Whatever
 * the order, it is kept; only what cannot be is refused: one thing in two crates, two in one slot.
 */
export const recordMovement = defineCommand({
  type: 'movement.record',
  body: recordMovementBody.safeExtend({ siteId: idSchema }),
  role: 'recorder',
  target: 'site',
  status: 201,
  siteOf: async ({ siteId }, tx) => (await sitePlace(tx, siteId)).siteId,
  async decide({ siteId, ...said }, ctx) {
    const { siteMark } = await sitePlace(ctx.tx, siteId);
    const keys = await thingKeys(ctx.tx, siteId, said.things, 'things');
    const crates = await checkedCrates(ctx.tx, siteId, said.crateIds);
    const fromCrateId = said.fromCrateId ?? null;
    const to = placeTo(said.to);
    const named = [
      ...(to.kind === 'crate' ? [to.crateId] : []),
      ...(fromCrateId === null ? [] : [fromCrateId]),
    ];
    await checkedCrates(ctx.tx, siteId, named);
    const slots = Object.fromEntries(
      said.things.flatMap(({ slot }, i) => (slot === undefined ? [] : [[keys[i]!, slot]])),
    );
    const happened = checkedEdtf(said.happened);
    if (to.kind === 'crate') {
      await refuseImpossible(ctx.tx, siteId, {
        packing: { crateId: to.crateId, fromCrateId, things: keys, slots },
        day: settledDay(happened, ctx.now),
      });
    }
    const name = said.to.kind === 'holder' ? said.to.name : undefined;
    return {
      log: { siteId },
      subject: keys.length === 0 ? siteMark : commonMark(keys.map((key) => readThing(key).mark)),
      happened,
      payload: {
        movementId: ctx.newId(),
        things: keys,
        crates,
        fromCrateId,
        toPlace: to,
        slots,
        holderName:
          name === undefined
            ? null
            : await sealName(ctx.tx, name, { siteId, field: 'holderName' }, ctx.now),
        why: said.why ?? null,
        temporary: said.temporary,
        expectedReturn: checkedEdtf(said.expectedReturn, 'expectedReturn'),
        flags: await raiseInCampaign(
          ctx,
          { siteId, happened },
          await stillInPlace(ctx.tx, siteId, keys),
        ),
      },
    };
  },
  async project(entry, tx) {
    const { holderName, flags, ...said } = entry.payload;
    const at = { kind: 'movement', rowId: said.movementId, field: 'holderName' } as const;
    await putRow(tx, 'movement', {
      siteId: entry.siteId!,
      ...said,
      holderName: await placedName(tx, entry, at, holderName),
      happened: entry.happened,
      state: 'recorded',
      withdrawnSeq: null,
      entrySeq: entry.seq,
      recordedAt: entry.recordedAt,
      version: entry.seq,
    });
    await putFlags(tx, entry, flags);
  },
  answer: ({ payload }, tx) => answerMovement(tx, payload.movementId),
});

export const withdrawMovementBody = z.strictObject({ reason: noteText });

/** Takes a movement back that was recorded in error; where things are follows from the rest. */
export const withdrawMovement = defineCommand({
  type: 'movement.withdraw',
  body: withdrawMovementBody.extend({ movementId: idSchema }),
  role: 'recorder',
  target: 'movement',
  siteOf: ({ movementId }, tx) => siteOf(tx, 'movement', movementId),
  async decide({ movementId, reason }, ctx) {
    const row = await openMovement(ctx.tx, movementId);
    const subject = await subjectOf(ctx.tx, row);
    return takeBack(ctx, row, { subject, payload: { movementId, reason } });
  },
  async project(entry, tx) {
    const { movementId } = entry.payload;
    await changeRows(tx, 'movement', { movementId }, takenBack(entry));
  },
  answer: ({ payload }, tx) => answerMovement(tx, payload.movementId),
});

/** @throws {Problem} `movement-unknown`, `movement-withdrawn` */
export async function openMovement(tx: Tx, movementId: string): Promise<MovementRow> {
  const row = await findRow(tx, 'movement', { movementId });
  if (row === undefined) throw unknown('movement');
  if (row.state !== 'recorded')
    throw new Problem(
      'movement-withdrawn',
      'This movement was recorded in error and is withdrawn. Record the one that took place.',
    );
  return row;
}

/** What an entry about a movement is about: as its first entry said. */
export async function subjectOf(tx: Tx, { siteId, things }: MovementRow): Promise<string> {
  if (things.length === 0) return (await sitePlace(tx, siteId)).siteMark;
  return commonMark(things.map((key) => readThing(key).mark));
}

export async function answerMovement(tx: Tx, movementId: string) {
  const row = (await findRow(tx, 'movement', { movementId }))!;
  const handovers = await findRows(tx, 'handover', { movementId }, 'ORDER BY entry_seq');
  return without(movementView(row, handovers), 'entrySeq');
}

/** Panels that stand in their openings, as far as anybody said, and are moved all the same. */
async function stillInPlace(
  tx: Tx,
  siteId: string,
  keys: readonly string[],
): Promise<CustodySeed[]> {
  const rows = await tx.query<{ mark: string }>(
    `SELECT x.mark FROM (
       SELECT s.code || CASE WHEN coalesce(s.unit, '') = '' THEN '' ELSE ':' || s.unit END
                || '.' || w.mark || '.' || p.mark AS mark
       FROM panel p JOIN "window" w USING (window_id) JOIN site s ON s.site_id = p.site_id
       WHERE p.site_id = $1 AND p.work_state = 'in-place') x
     WHERE x.mark = ANY($2)
       AND NOT EXISTS (SELECT 1 FROM movement m
                       WHERE m.site_id = $1 AND m.state = 'recorded' AND m.things @> ARRAY[x.mark])
     ORDER BY 1`,
    [siteId, keys],
    ['panel', 'window', 'site', 'movement'],
  );
  return rows.map(({ mark }) => ({ kind: 'moved-in-place', subject: mark, said: {} }));
}

async function refuseImpossible(
  tx: Tx,
  siteId: string,
  asked: { packing: Parameters<typeof packingFault>[0]; day: string },
): Promise<void> {
  const { packing, day } = asked;
  const panels = packing.things.flatMap((key) => panelMarkOf(readThing(key).mark) ?? []);
  const facts = await custodyFacts(tx, siteId, [...new Set(panels)], {
    until: day,
    knownPlace: null,
  });
  const found = packingFault(packing, new CustodyLedger(facts));
  if (found === undefined) return;
  const markOf = async (crateId: string) => (await findRow(tx, 'crate', { crateId }))!.mark;
  if (found.fault === 'slot-taken')
    throw new Problem(
      'slot-taken',
      `things: in slot ${found.slot} of crate ${await markOf(packing.crateId)} lies ${found.by}. Choose another slot for ${found.key}, or move that one first.`,
      { field: 'things', slot: found.slot, by: found.by },
    );
  throw new Problem(
    'in-another-crate',
    `things: ${found.key} lies in crate ${await markOf(found.crateId)}. Take it out first, or name that crate as the one it comes out of.`,
    { field: 'things', key: found.key, crateId: found.crateId },
  );
}
