import { z } from 'zod';
import { Problem } from '#libs/problem';
import { type CommandContext, defineCommand, type ProjectedEntry } from '../command.js';
import { placedName } from '../names/name-places.js';
import { type SealedName, sealName } from '../names/sealed-name.js';
import { siteOf, sitePlace } from '../place.js';
import type { MediaRow } from '../rows.js';
import { idSchema, noteText, shortText } from '../shapes.js';
import { subjectsAt } from '../subjects.js';
import { changeRows, findRow, findRows, putRow } from '../tables.js';
import type { Tx } from '../tx.js';
import { mediaView } from '../views/media-view.js';
import { withdrawnProblem } from '../withdrawn.js';

export const MEDIA_DESTROY_QUEUE = 'media.destroy';

export const withdrawMediaBody = z.strictObject({
  reason: noteText.describe('stays in the ledger and is shown in the picture’s place'),
  askedBy: shortText.describe('who asked for it; kept sealed, and erased with the person'),
  alsoShared: z
    .boolean()
    .default(false)
    .describe('true: other records hold the same bytes and lose them too'),
  alsoDossiers: z
    .boolean()
    .default(false)
    .describe('true: dossiers kept here that may hold the picture are destroyed too'),
});

interface Withdrawn {
  digest: string;
  sizeBytes: number;
  /** original, rectified, dossier */
  role: string;
}

interface WithdrawPayload {
  mediaId: string;
  /** other records of the same bytes */
  sharedWith: string[];
  objects: Withdrawn[];
  reason: string;
  askedBy: SealedName;
}

/**
 * An original that may not be kept: its bytes are destroyed, with everything that was made from its
 * pixels. Digest, size, reason and all that was recorded of it stay.
 */
export const withdrawMedia = defineCommand({
  type: 'media.withdraw',
  body: withdrawMediaBody.extend({ mediaId: idSchema }),
  role: 'keeper',
  target: 'media',
  siteOf: ({ mediaId }, tx) => siteOf(tx, 'media', mediaId),
  async decide({ mediaId, reason, askedBy, alsoShared, alsoDossiers }, ctx) {
    const media = (await findRow(ctx.tx, 'media', { mediaId }))!;
    const { siteId, digest } = media;
    const before = await findRow(ctx.tx, 'withdrawn_object', { digest });
    if (before !== undefined) {
      throw new Problem('media-withdrawn', withdrawnProblem(before).message, { mediaId });
    }
    const shared = await sharers(ctx, media, alsoShared);
    const objects = [
      { digest, sizeBytes: Number(media.sizeBytes), role: 'original' },
      ...(await madeObjects(ctx.tx, [media, ...shared], alsoDossiers)),
    ];
    const payload: WithdrawPayload = {
      mediaId,
      sharedWith: shared.map((other) => other.mediaId),
      objects,
      reason,
      askedBy: await sealName(ctx.tx, askedBy, { siteId, field: 'askedBy' }, ctx.now),
    };
    const subject = media.subjects[0] ?? (await sitePlace(ctx.tx, siteId)).siteMark;
    const job = { queue: MEDIA_DESTROY_QUEUE, jobId: ctx.newId(), siteId, subject };
    return {
      log: { siteId },
      subject,
      happened: null,
      payload,
      jobs: [{ ...job, data: { mediaId, askedBy: ctx.actorId } }],
    };
  },
  async project(entry: ProjectedEntry<WithdrawPayload>, tx) {
    const { mediaId, objects, reason, askedBy } = entry.payload;
    const at = { kind: 'withdrawal', rowId: mediaId, field: 'askedBy' } as const;
    const shown = await placedName(tx, entry, at, askedBy);
    for (const object of objects) {
      await putRow(tx, 'withdrawn_object', {
        ...object,
        siteId: entry.siteId!,
        mediaId,
        logId: entry.logId,
        seq: entry.seq,
        at: entry.recordedAt,
        reason,
        askedBy: shown,
        destroyedAt: null,
      });
    }
  },
  answer: answerMedia,
});

/** Written by the worker once no copy of the bytes is left in the store or its replica. */
export const recordDestruction = defineCommand({
  type: 'media.record-destruction',
  body: z.strictObject({ mediaId: idSchema, derivatives: z.int().min(0) }),
  role: 'keeper',
  target: 'media',
  status: 201,
  siteOf: ({ mediaId }, tx) => siteOf(tx, 'media', mediaId),
  async decide({ mediaId, derivatives }, ctx) {
    const media = (await findRow(ctx.tx, 'media', { mediaId }))!;
    const [withdrawn] = await findRows(ctx.tx, 'withdrawn_object', { mediaId });
    if (withdrawn === undefined) {
      throw new Problem('request-invalid', 'mediaId: this picture was not withdrawn.', {
        field: 'mediaId',
      });
    }
    return {
      log: { siteId: media.siteId },
      subject: media.subjects[0] ?? (await sitePlace(ctx.tx, media.siteId)).siteMark,
      happened: null,
      payload: { mediaId, withdrawal: Number(withdrawn.seq), derivatives },
    };
  },
  async project({ payload: { mediaId }, recordedAt }, tx) {
    await changeRows(tx, 'withdrawn_object', { mediaId }, { destroyedAt: recordedAt });
  },
  answer: answerMedia,
});

/** Other records of the same bytes: told, and asked for, before they lose them. */
async function sharers(
  ctx: CommandContext,
  media: MediaRow,
  alsoShared: boolean,
): Promise<MediaRow[]> {
  const rows = await findRows(
    ctx.tx,
    'media',
    { digest: media.digest },
    'ORDER BY site_id, entry_seq',
  );
  const others = rows.filter(({ mediaId }) => mediaId !== media.mediaId);
  if (others.some(({ siteId }) => ctx.roleAt(siteId) !== 'keeper')) {
    throw new Problem(
      'role-insufficient',
      'Another site holds the same bytes. Ask a keeper of both sites to withdraw them.',
      { neededRole: 'keeper' },
    );
  }
  if (others.length > 0 && !alsoShared) {
    const marks = others.flatMap(({ subjects, fileName }) => subjects[0] ?? fileName);
    throw new Problem(
      'media-shared',
      `The same bytes are recorded at ${marks.join(', ')} too and would be gone there. Send alsoShared: true to withdraw them everywhere.`,
      { field: 'alsoShared', sharedWith: others.map(({ mediaId }) => mediaId) },
    );
  }
  return others;
}

/** Objects of the history that were made from the pixels: flattened sheets, and dossiers on request. */
async function madeObjects(
  tx: Tx,
  media: readonly MediaRow[],
  alsoDossiers: boolean,
): Promise<Withdrawn[]> {
  const mediaIds = media.map(({ mediaId }) => mediaId);
  const sheets = await tx.query<Omit<Withdrawn, 'role'>>(
    `SELECT DISTINCT o.digest, o.size_bytes FROM net_revision n
     JOIN stored_object o ON o.digest = n.reading #>> '{rectified,digest}'
     WHERE n.media_ids && $1::uuid[] ORDER BY 1`,
    [mediaIds],
  );
  const dossiers = alsoDossiers ? await dossiersOf(tx, mediaIds) : [];
  const made = [
    ...sheets.map((one) => ({ ...one, role: 'rectified' })),
    ...dossiers.map((one) => ({ ...one, role: 'dossier' })),
  ];
  const known = await tx.query<{ digest: string }>(
    'SELECT digest FROM withdrawn_object WHERE digest = ANY($1)',
    [made.map(({ digest }) => digest)],
  );
  const gone = new Set(known.map(({ digest }) => digest));
  return made.filter(({ digest }) => !gone.has(digest));
}

/** Dossiers written after the picture came, of a place that it is at; the keeper's hold the whole site. */
function dossiersOf(tx: Tx, mediaIds: readonly string[]): Promise<Omit<Withdrawn, 'role'>[]> {
  return tx.query(
    `SELECT DISTINCT d.digest, d.size_bytes FROM dossier d JOIN media m USING (site_id)
     WHERE m.media_id = ANY($1::uuid[]) AND d.digest IS NOT NULL AND d.asked_at >= m.recorded_at
       AND (d.kind = 'keepers' OR ${subjectsAt('d.subject', 'm.subjects')})
     ORDER BY 1`,
    [mediaIds],
  );
}

async function answerMedia({ payload }: ProjectedEntry<{ mediaId: string }>, tx: Tx) {
  return mediaView(tx, (await findRow(tx, 'media', { mediaId: payload.mediaId }))!);
}
