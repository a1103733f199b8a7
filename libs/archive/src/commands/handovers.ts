import { z } from 'zod';
import { type At, arrivals } from '#libs/custody';
import { Problem } from '#libs/problem';
import { type Command, defineCommand } from '../command.js';
import {
  type SeenThing,
  seenSchema,
  seenThings,
  unpackedToSchema,
} from '../custody/custody-body.js';
import { type CustodySeed, raiseInCampaign, worseOnTheWay } from '../custody/custody-flags.js';
import { putFlags, type RaisedFlag } from '../flags.js';
import { checkedEdtf, happenedSchema } from '../happened.js';
import { placedName } from '../names/name-places.js';
import { type SealedName, sealName } from '../names/sealed-name.js';
import { checkMedia, siteOf } from '../place.js';
import type { HandoverRow, MovementRow } from '../rows.js';
import { idSchema, noteText, shortText } from '../shapes.js';
import { changeRows, findRows, putRow } from '../tables.js';
import type { Tx } from '../tx.js';
import { answerMovement, openMovement, subjectOf } from './movements.js';

export const handOverBody = z.strictObject({
  byRole: shortText.optional().describe('in which role somebody signs: glazier, carrier'),
  byName: shortText
    .optional()
    .describe('who signed, where it is not the person who records it; sealed'),
  paper: idSchema.optional().describe('mediaId of the signed paper'),
  seen: z.array(seenSchema).max(500).default([]).describe('how each thing was seen'),
  note: noteText.optional(),
  happened: happenedSchema.optional(),
  again: z
    .boolean()
    .default(false)
    .describe('a further look by the same side, kept beside the one that is there'),
});
export const receiveBody = handOverBody.extend({
  unpackedTo: unpackedToSchema
    .optional()
    .describe('the crates were emptied, and what lay in them went there'),
});

type ReceiveBody = z.infer<typeof receiveBody>;

interface HandoverPayload {
  handoverId: string;
  movementId: string;
  byRole: string | null;
  byName: SealedName | null;
  paper: string | null;
  seen: readonly SeenThing[];
  unpackedTo: ReceiveBody['unpackedTo'] | null;
  note: string | null;
  flags: readonly RaisedFlag[];
}

type Said = Omit<ReceiveBody, 'unpackedTo'> & {
  movementId: string;
  unpackedTo?: ReceiveBody['unpackedTo'];
};

type Answer = Awaited<ReturnType<typeof answerMovement>>;

/** The sender's side: what was given away, and how it was then. */
export const handOver = side(
  'movement.hand-over',
  'sender',
  handOverBody.extend({ movementId: idSchema }),
);

/**
 * The receiver's side: what came, and how. Nothing is refused because the sender did not sign; that, and
 * what became worse on the way, is flagged.
 */
export const receive = side(
  'movement.receive',
  'receiver',
  receiveBody.extend({ movementId: idSchema }),
);

function side<B extends Said>(
  type: string,
  which: HandoverRow['side'],
  body: z.ZodType<B>,
): Command<B, HandoverPayload, Answer> {
  return defineCommand<B, HandoverPayload, Answer>({
    type,
    body,
    role: 'recorder',
    target: 'movement',
    status: 201,
    siteOf: ({ movementId }, tx) => siteOf(tx, 'movement', movementId),
    async decide(said, ctx) {
      const { movementId } = said;
      const movement = await openMovement(ctx.tx, movementId);
      const { siteId } = movement;
      const before = await findRows(ctx.tx, 'handover', { movementId, side: which });
      if (before.length > 0 && !said.again) throw alreadySigned(before.at(-1)!);
      const seen = await seenThings(ctx.tx, siteId, said.seen);
      const happened = checkedEdtf(said.happened);
      if (said.paper !== undefined) await checkMedia(ctx.tx, siteId, [said.paper], 'paper');
      const subject = await subjectOf(ctx.tx, movement);
      const seeds =
        which === 'receiver'
          ? await onArrival(ctx.tx, movement, { subject, seen, byRole: said.byRole ?? null })
          : [];
      return {
        log: { siteId },
        subject,
        happened,
        payload: {
          handoverId: ctx.newId(),
          movementId,
          byRole: said.byRole ?? null,
          byName:
            said.byName === undefined
              ? null
              : await sealName(ctx.tx, said.byName, { siteId, field: 'byName' }, ctx.now),
          paper: said.paper ?? null,
          seen,
          unpackedTo: said.unpackedTo ?? null,
          note: said.note ?? null,
          flags: await raiseInCampaign(ctx, { siteId, happened }, seeds),
        },
      };
    },
    async project(entry, tx) {
      const { byName, flags, ...said } = entry.payload;
      const at = { kind: 'handover', rowId: said.handoverId, field: 'byName' } as const;
      await putRow(tx, 'handover', {
        siteId: entry.siteId!,
        side: which,
        ...said,
        byPerson: entry.actorId,
        byName: await placedName(tx, entry, at, byName),
        happened: entry.happened,
        entrySeq: entry.seq,
        recordedAt: entry.recordedAt,
        version: entry.seq,
      });
      await changeRows(tx, 'movement', { movementId: said.movementId }, { version: entry.seq });
      await putFlags(tx, entry, flags);
    },
    answer: ({ payload }, tx) => answerMovement(tx, payload.movementId),
  });
}

/** What the receiver's look tells beside what the sender said. */
async function onArrival(
  tx: Tx,
  { movementId, toPlace }: MovementRow,
  { subject, seen, byRole }: { subject: string; seen: readonly SeenThing[]; byRole: string | null },
): Promise<CustodySeed[]> {
  const sent = await findRows(tx, 'handover', { movementId, side: 'sender' }, 'ORDER BY entry_seq');
  const to = toPlace as At;
  const by = byRole ?? (to.kind === 'holder' ? `the ${to.role}` : 'the receiver');
  const from = sent.at(-1)?.byRole ?? 'the sender';
  const departure = sent.flatMap((row) => row.seen as SeenThing[]);
  return [
    ...(sent.length === 0 ? [{ kind: 'no-handover' as const, subject, said: { by } }] : []),
    ...worseOnTheWay(arrivals([], departure, seen), from, by),
  ];
}

function alreadySigned(row: HandoverRow): Problem {
  const when = row.happened ?? row.recordedAt.toISOString().slice(0, 16).replace('T', ' ');
  const who = row.byRole ?? 'somebody';
  return new Problem(
    'handover-signed',
    `${who} signed this side on ${when}. Look at what was written down; if you saw something else, send it again as a further look (again: true).`,
    { handoverId: row.handoverId, byRole: row.byRole, recordedAt: row.recordedAt.toISOString() },
  );
}
