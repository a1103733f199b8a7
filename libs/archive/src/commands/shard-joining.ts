import { z } from 'zod';
import { roundXy, type XyMm } from '#libs/net';
import { Problem } from '#libs/problem';
import { laidRing, shardEdge, tellLaid } from '#libs/shards';
import { defineCommand, type PrepareContext } from '../command.js';
import { checkedEdtf, happenedSchema } from '../happened.js';
import { panelPlace, siteOf } from '../place.js';
import { forgetFindable, makeFindable } from '../search-row.js';
import { idSchema, noteText } from '../shapes.js';
import { joiningFindable } from '../shards/joining-findable.js';
import {
  apartSchema,
  askedSchema,
  laidSchema,
  type MissingGlass,
  SHARDS_MAX,
  type ShardJoint,
  type ShardsProposal,
} from '../shards/shard-shapes.js';
import { getJson, inlineOrObject } from '../stored-json.js';
import { changeRows, findRow, findRows, putRow } from '../tables.js';
import type { Tx } from '../tx.js';
import { unknown } from '../unknown.js';
import { joiningView } from '../views/joining-view.js';
import { once, refuseUnknown } from './shard-assembly.js';
import { takeBack, takenBack } from './take-back.js';

export const keepJoiningBody = z.strictObject({
  assemblyId: idSchema.describe('whose contours are laid'),
  laid: z.array(laidSchema).min(1).max(SHARDS_MAX).describe('shards that are left out stay loose'),
  apart: z
    .array(apartSchema)
    .max(2000)
    .default([])
    .describe('pairs that a person said do not touch'),
  note: noteText.optional(),
  happened: happenedSchema.optional().describe('when it was laid so on the bench, EDTF'),
});

/**
 * How the shards of a piece lie together, as a person keeps it. Joints, what is missing and how much is covered are
 * reckoned from where the shards were laid. A later one of the same piece takes the place of the one before.
 */
export const keepJoining = defineCommand({
  type: 'shards.keep-joining',
  body: keepJoiningBody.extend({ panelId: idSchema, piece: z.string().min(1).max(12) }),
  role: 'recorder',
  target: 'panel',
  status: 201,
  siteOf: ({ panelId }, tx) => siteOf(tx, 'panel', panelId),
  prepare: (body, ports) => reckoned(body, ports),
  async decide({ panelId, piece, note, happened, assemblyId, laid, apart }, ctx, reckonedOf) {
    const place = await panelPlace(ctx.tx, panelId);
    const day = checkedEdtf(happened);
    const { joints, missing, ...figures } = reckonedOf;
    const kept = await inlineOrObject(ctx.objects, { joints, missing }, 'shards-joined');
    const before = await standing(ctx.tx, panelId, piece);
    return {
      log: { siteId: place.siteId },
      subject: `${place.fullMark}.${piece}`,
      happened: day,
      payload: {
        joiningId: ctx.newId(),
        panelId,
        piece,
        assemblyId,
        laid,
        apart,
        ...figures,
        /** null: in the object `shapesDigest` */
        shapes: kept.object === null ? { joints, missing } : null,
        shapesDigest: kept.object?.digest ?? null,
        note: note ?? null,
      },
      objects: kept.object === null ? [] : [kept.object],
      ...(before === undefined ? {} : { supersedes: { seq: Number(before.entrySeq) } }),
    };
  },
  async project(entry, tx, { objects }) {
    const { shapes, shapesDigest, ...said } = entry.payload;
    const { joints, missing } = (shapes ?? (await getJson(objects, shapesDigest!))) as {
      joints: unknown;
      missing: unknown;
    };
    const before = await standing(tx, said.panelId, said.piece);
    if (before !== undefined) {
      const { joiningId } = before;
      await forgetFindable(tx, entry.siteId!, 'joining', joiningId);
      await changeRows(tx, 'joining', { joiningId }, { state: 'superseded', version: entry.seq });
    }
    await putRow(tx, 'joining', {
      siteId: entry.siteId!,
      ...said,
      joints,
      missing,
      keptBy: entry.actorId,
      happened: entry.happened,
      state: 'recorded',
      withdrawnSeq: null,
      entrySeq: entry.seq,
      recordedAt: entry.recordedAt,
      version: entry.seq,
    });
    await makeFindable(tx, entry, await joiningFindable(tx, said));
  },
  answer: ({ payload }, tx) => answered(tx, payload.joiningId),
});

export const withdrawJoiningBody = z.strictObject({ reason: noteText });

export const withdrawJoining = defineCommand({
  type: 'shards.withdraw-joining',
  body: withdrawJoiningBody.extend({ joiningId: idSchema }),
  role: 'recorder',
  target: 'joining',
  siteOf: ({ joiningId }, tx) => siteOf(tx, 'joining', joiningId),
  async decide({ joiningId, reason }, ctx) {
    const row = await findRow(ctx.tx, 'joining', { joiningId });
    if (row === undefined) throw unknown('joining');
    if (row.state !== 'recorded')
      throw new Problem(
        'joining-closed',
        `This assembly is ${row.state}. Lay the shards anew and keep that.`,
        { state: row.state },
      );
    const { fullMark } = await panelPlace(ctx.tx, row.panelId);
    return takeBack(ctx, row, {
      subject: `${fullMark}.${row.piece}`,
      payload: { joiningId, reason },
    });
  },
  async project(entry, tx) {
    const { joiningId } = entry.payload;
    await changeRows(tx, 'joining', { joiningId }, takenBack(entry));
    await forgetFindable(tx, entry.siteId!, 'joining', joiningId);
  },
  answer: ({ payload }, tx) => answered(tx, payload.joiningId),
});

async function standing(tx: Tx, panelId: string, piece: string) {
  return (await findRows(tx, 'joining', { panelId, piece, state: 'recorded' }))[0];
}

async function answered(tx: Tx, joiningId: string) {
  return joiningView((await findRow(tx, 'joining', { joiningId }))!);
}

interface Reckoned {
  readonly joints: readonly ShardJoint[];
  readonly missing: readonly MissingGlass[];
  readonly gapMm: number;
  readonly coverageRatio: number | null;
  readonly jointMm: number;
  readonly missingMm2: number;
}

type Body = z.infer<typeof keepJoiningBody> & { panelId: string; piece: string };

/** @throws {Problem} `assembly-unknown`, `assembly-not-ready`, `shard-unknown`, `shard-twice` */
async function reckoned(
  { panelId, piece, assemblyId, laid, apart }: Body,
  { tx, objects }: PrepareContext,
): Promise<Reckoned> {
  const row = await findRow(tx, 'assembly', { assemblyId });
  if (row?.panelId !== panelId || row.piece !== piece) throw unknown('assembly');
  if (row.proposalDigest === null)
    throw new Problem(
      'assembly-not-ready',
      'The worker has not found the contours of these shards yet. Wait until the job has ended, or ask again if it failed.',
      { jobId: row.jobId },
    );
  const proposal = (await getJson(objects, row.proposalDigest)) as ShardsProposal;
  const rings = new Map(proposal.shards.map(({ shard, ringMm }) => [shard, ringMm]));
  const known = new Set(rings.keys());
  const seen = new Set<string>();
  for (const [i, { shard }] of laid.entries()) {
    refuseUnknown(known, shard, `laid[${i}]`);
    once(seen, shard, `laid[${i}]`);
  }
  for (const [i, pair] of apart.entries())
    for (const shard of pair) refuseUnknown(known, shard, `apart[${i}]`);
  const { outlineMm } = askedSchema.parse(row.asked);
  const lying = laid.map(({ shard, pose }) => ({
    edge: shardEdge(shard, rings.get(shard)!),
    pose,
  }));
  checkReach(lying.map(laidRing), outlineMm);
  const told = tellLaid(lying, proposal.gapMm, outlineMm);
  return {
    joints: told.joints.map(({ linesMm, lengthMm, a, b }) => ({
      a,
      b,
      lengthMm: toTenth(lengthMm),
      linesMm: linesMm.map(rounded),
    })),
    missing: told.missing.map(({ ringsMm, areaMm2 }) => ({
      ringsMm: ringsMm.map(rounded),
      areaMm2: toTenth(areaMm2),
    })),
    gapMm: proposal.gapMm,
    coverageRatio: told.coverageRatio === null ? null : Math.round(told.coverageRatio * 1e4) / 1e4,
    jointMm: toTenth(told.joints.reduce((sum, { lengthMm }) => sum + lengthMm, 0)),
    missingMm2: toTenth(told.missing.reduce((sum, { areaMm2 }) => sum + areaMm2, 0)),
  };
}

const FAR_MM = 1000;

/** Poses of another frame or unit would be kept as nonsense. @throws {Problem} `geometry-invalid` */
function checkReach(rings: readonly (readonly XyMm[])[], outlineMm: readonly XyMm[]): void {
  const [x, y] = outlineMm[0]!;
  if (rings.every((ring) => Math.hypot(ring[0]![0] - x, ring[0]![1] - y) < FAR_MM)) return;
  throw new Problem(
    'geometry-invalid',
    'laid: a shard lies more than a metre from its piece. Poses are radians and millimetres of the panel’s frame.',
    { field: 'laid' },
  );
}

const toTenth = (value: number) => Math.round(value * 10) / 10;
const rounded = (line: readonly XyMm[]): [number, number][] =>
  line.map((point) => [...roundXy(point)]);
