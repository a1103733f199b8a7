import { z } from 'zod';
import { Problem } from '#libs/problem';
import { type CommandContext, defineCommand } from '../command.js';
import { checkedInPanel } from '../marks.js';
import { panelPlace, siteOf } from '../place.js';
import { idSchema } from '../shapes.js';
import { pieceOutline } from '../shards/piece-outline.js';
import {
  type AskedAssembly,
  apartSchema,
  lockedSchema,
  proposalSchema,
  SHARDS_MAX,
  shardPictureSchema,
} from '../shards/shard-shapes.js';
import { getJson, inlineOrObject, putJson } from '../stored-json.js';
import { changeRows, findRow, putRow } from '../tables.js';
import { unknown } from '../unknown.js';
import { refuseWithdrawn } from '../withdrawn.js';

export const SHARDS_ASSEMBLE_QUEUE = 'shards.assemble';

export const askAssemblyBody = z.strictObject({
  pictures: z.array(shardPictureSchema).min(1).max(SHARDS_MAX),
  isEitherFace: z
    .boolean()
    .default(false)
    .describe('some pictures may show the other face: every shard is tried both ways'),
  locked: z.array(lockedSchema).max(SHARDS_MAX).default([]).describe('where a person laid them'),
  apart: z.array(apartSchema).max(2000).default([]),
});

type Asked = z.infer<typeof askAssemblyBody>;

/** Asks how the shards of one piece may lie together, out of their light-box pictures. */
export const askAssembly = defineCommand({
  type: 'shards.ask-assembly',
  body: askAssemblyBody.extend({ panelId: idSchema, piece: z.string().min(1).max(12) }),
  role: 'recorder',
  target: 'panel',
  status: 202,
  siteOf: ({ panelId }, tx) => siteOf(tx, 'panel', panelId),
  prepare: ({ panelId, piece }, ports) => pieceOutline(ports, panelId, piece),
  async decide({ panelId, piece, ...said }, ctx, { number, netRevision, outlineMm }) {
    const place = await panelPlace(ctx.tx, panelId);
    const { siteId } = place;
    checkShards(said, number);
    for (const [i, { shard, mediaId }] of said.pictures.entries()) {
      const at = { field: `pictures[${i}]`, shard: `${place.fullMark}.${shard}` };
      await checkShardPicture(ctx, siteId, mediaId, at);
    }
    const asked = { ...said, outlineMm: [...outlineMm] as AskedAssembly['outlineMm'] };
    const kept = await inlineOrObject(ctx.objects, asked, 'shards-asked');
    const ids = { assemblyId: ctx.newId(), panelId, piece, jobId: ctx.newId() };
    const subject = `${place.fullMark}.${piece}`;
    return {
      log: { siteId },
      subject,
      happened: null,
      payload: {
        ...ids,
        netRevision,
        /** null: in the object `askedDigest` */
        asked: kept.object === null ? asked : null,
        askedDigest: kept.object?.digest ?? null,
      },
      objects: kept.object === null ? [] : [kept.object],
      jobs: [
        {
          queue: SHARDS_ASSEMBLE_QUEUE,
          jobId: ids.jobId,
          siteId,
          subject,
          data: { assemblyId: ids.assemblyId, jobId: ids.jobId, askedBy: ctx.actorId },
        },
      ],
    };
  },
  async project(entry, tx, { objects }) {
    const { asked, askedDigest, ...said } = entry.payload;
    await putRow(tx, 'assembly', {
      siteId: entry.siteId!,
      ...said,
      asked: asked ?? (await getJson(objects, askedDigest!)),
      proposalDigest: null,
      askedBy: entry.actorId,
      entrySeq: entry.seq,
      recordedAt: entry.recordedAt,
      version: entry.seq,
    });
  },
  answer: ({ payload: { assemblyId, jobId } }) => Promise.resolve({ assemblyId, jobId }),
});

/** What the worker found for an assembly; found again it is the same. */
export const storeAssembly = defineCommand({
  type: 'shards.propose-assembly',
  body: z.strictObject({ assemblyId: idSchema, proposal: proposalSchema }),
  role: 'recorder',
  target: 'assembly',
  status: 201,
  siteOf: ({ assemblyId }, tx) => siteOf(tx, 'assembly', assemblyId),
  async decide({ assemblyId, proposal }, ctx) {
    const row = await findRow(ctx.tx, 'assembly', { assemblyId });
    if (row === undefined) throw unknown('assembly');
    const place = await panelPlace(ctx.tx, row.panelId);
    const object = await putJson(ctx.objects, proposal, 'shards-proposal');
    return {
      log: { siteId: row.siteId },
      subject: `${place.fullMark}.${row.piece}`,
      happened: null,
      payload: {
        assemblyId,
        proposalDigest: object.digest,
        shards: proposal.shards.length,
        placed: proposal.placed.length,
        coverageRatio: proposal.coverageRatio,
      },
      objects: [object],
    };
  },
  async project({ payload: { assemblyId, proposalDigest }, seq }, tx) {
    await changeRows(tx, 'assembly', { assemblyId }, { proposalDigest, version: seq });
  },
  answer: ({ payload }) => Promise.resolve(payload),
});

/** @throws {Problem} `mark-invalid`, `shard-twice`, `shard-unknown` */
function checkShards({ pictures, locked, apart }: Asked, number: number): void {
  const known = new Set<string>();
  for (const [i, { shard }] of pictures.entries()) {
    checkShardMark(shard, number, `pictures[${i}].shard`);
    once(known, shard, `pictures[${i}]`);
  }
  const laid = new Set<string>();
  for (const [i, { shard }] of locked.entries()) {
    refuseUnknown(known, shard, `locked[${i}]`);
    once(laid, shard, `locked[${i}]`);
  }
  for (const [i, pair] of apart.entries()) {
    for (const shard of pair) refuseUnknown(known, shard, `apart[${i}]`);
    if (pair[0] === pair[1])
      throw new Problem(
        'shard-twice',
        `apart[${i}]: ${pair[0]} stands on both sides. Name two shards that do not touch.`,
        { field: `apart[${i}]` },
      );
  }
}

function checkShardMark(shard: string, number: number, field: string): void {
  const mark = checkedInPanel(shard, field);
  if (mark.kind === 'shard' && mark.number === number) return;
  throw new Problem(
    'mark-invalid',
    `${field}: ${shard} is no shard of piece ${number}. Its shards are marked ${number}s1, ${number}s2, and so on.`,
    { field },
  );
}

/** @throws {Problem} `shard-twice` */
export function once(seen: Set<string>, shard: string, field: string): void {
  if (seen.has(shard))
    throw new Problem(
      'shard-twice',
      `${field}: ${shard} is named twice. Give each shard once, and another number to another shard.`,
      { field, shard },
    );
  seen.add(shard);
}

/** @throws {Problem} `shard-unknown` */
export function refuseUnknown(known: ReadonlySet<string>, shard: string, field: string): void {
  if (known.has(shard)) return;
  throw new Problem(
    'shard-unknown',
    `${field}: ${shard} is not in this tray. Photograph it on the light box and ask again with its picture.`,
    { field, shard },
  );
}

/** @throws {Problem} `evidence-unknown`, `shard-picture-unfit`, `object-withdrawn` */
async function checkShardPicture(
  { tx }: CommandContext,
  siteId: string,
  mediaId: string,
  { field, shard }: { field: string; shard: string },
): Promise<void> {
  const media = await findRow(tx, 'media', { mediaId });
  if (media?.siteId !== siteId)
    throw new Problem(
      'evidence-unknown',
      `${field}: ${mediaId} is no picture of this site. Upload it first, then name its mediaId.`,
      { field },
    );
  await refuseWithdrawn(tx, media.digest);
  const unfit = (why: string) =>
    new Problem('shard-picture-unfit', `${field}: ${media.fileName} ${why}`, { field, mediaId });
  if (media.kind !== 'photograph' || media.widthPx === null)
    throw unfit(
      `is kept as ${media.kind}, not as a photograph. Describe it as a photograph, or send one of the shard on a light box.`,
    );
  if (!media.subjects.includes(shard))
    throw unfit(
      `does not name ${shard} as what it shows. Add the shard’s mark to its description.`,
    );
}
