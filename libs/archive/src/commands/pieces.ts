import { z } from 'zod';
import { ringAreaMm2, type XyMm } from '#libs/net';
import { Problem } from '#libs/problem';
import { defineCommand, type ProjectedEntry } from '../command.js';
import { pieceMarkOf, sortKeyOfPiece } from '../marks.js';
import { panelPoints } from '../picture-points.js';
import { pieceFindable } from '../piece-findable.js';
import { panelPlace, siteOf } from '../place.js';
import type { PieceRow } from '../rows.js';
import { forgetFindable } from '../search-row.js';
import { moveFindable, refreshShown } from '../search-shows.js';
import { idSchema, noteText, xyMmSchema, xyPxSchema } from '../shapes.js';
import { getJson, inlineOrObject } from '../stored-json.js';
import { changeRows, findRow, findRows, putRow } from '../tables.js';
import type { Tx } from '../tx.js';
import { pieceView } from '../views/window-view.js';
import { lastEntryAbout } from './superseded.js';

const traced = {
  number: z.int().min(1).max(9999).optional().describe('left out: the next free one'),
  shows: noteText.optional(),
};

export const tracePieceBody = z.union([
  z.strictObject({ ...traced, ringMm: z.array(xyMmSchema).min(3).max(2000) }),
  z.strictObject({
    ...traced,
    mediaId: idSchema.describe('a picture that is laid under the panel'),
    ringPx: z.array(xyPxSchema).min(3).max(2000),
  }),
]);

interface TracedPayload {
  pieceId: string;
  panelId: string;
  mark: string;
  /** null: in the object `ringDigest` */
  ringMm: XyMm[] | null;
  ringDigest: string | null;
  areaMm2: number;
  shows: string | null;
  /** picture that it was traced over */
  mediaId: string | null;
}

/** A provisional piece, traced before the drawing is there because a finding needs one. */
export const tracePiece = defineCommand({
  type: 'piece.trace',
  body: z.object({ panelId: idSchema, said: tracePieceBody }),
  role: 'recorder',
  target: 'panel',
  status: 201,
  siteOf: ({ panelId }, tx) => siteOf(tx, 'panel', panelId),
  async decide({ panelId, said }, ctx) {
    const place = await panelPlace(ctx.tx, panelId);
    const ringMm =
      'ringMm' in said
        ? said.ringMm
        : await panelPoints(ctx.tx, panelId, said.mediaId, said.ringPx);
    const areaMm2 = checkedArea(ringMm);
    const others = await findRows(ctx.tx, 'piece', { panelId, provisional: true });
    const number = said.number ?? nextNumber(others);
    if (others.some((piece) => piece.mark === String(number) && !piece.retired)) {
      throw new Problem(
        'piece-exists',
        `${pieceMarkOf(place.fullMark, String(number))} is traced already. Leave the number out or choose another.`,
        { field: 'number' },
      );
    }
    const kept = await inlineOrObject(ctx.objects, ringMm, 'geometry');
    const payload: TracedPayload = {
      pieceId: ctx.newId(),
      panelId,
      mark: String(number),
      ringMm: kept.object === null ? ringMm : null,
      ringDigest: kept.object?.digest ?? null,
      areaMm2,
      shows: said.shows ?? null,
      mediaId: 'mediaId' in said ? said.mediaId : null,
    };
    return {
      log: { siteId: place.siteId },
      subject: pieceMarkOf(place.fullMark, payload.mark),
      happened: null,
      payload,
      objects: kept.object === null ? [] : [kept.object],
    };
  },
  async project(entry: ProjectedEntry<TracedPayload>, tx, { objects }) {
    const { pieceId, panelId, mark, areaMm2, shows, ringDigest } = entry.payload;
    const ring =
      entry.payload.ringMm ?? ((await getJson(objects, ringDigest!)) as TracedPayload['ringMm'])!;
    await putRow(tx, 'piece', {
      siteId: entry.siteId!,
      pieceId,
      panelId,
      mark,
      sortKey: sortKeyOfPiece(mark),
      provisional: true,
      ringMm: ring.flat(),
      areaMm2,
      shows,
      glass: null,
      carriedTo: null,
      retired: false,
      version: entry.seq,
    });
    await pieceFindable(tx, entry, pieceId);
  },
  answer: answerPiece,
});

export const describePieceBody = z
  .strictObject({
    shows: noteText.nullable().optional().describe('face, hands, drapery, inscription, border, …'),
    glass: noteText.nullable().optional().describe('what the glass is'),
  })
  .refine(
    ({ shows, glass }) => shows !== undefined || glass !== undefined,
    'give at least one of shows, glass',
  );

export const describePiece = defineCommand({
  type: 'piece.describe',
  body: describePieceBody.safeExtend({ pieceId: idSchema }),
  role: 'recorder',
  target: 'piece',
  siteOf: ({ pieceId }, tx) => siteOf(tx, 'piece', pieceId),
  async decide({ pieceId, shows, glass }, ctx) {
    const row = (await findRow(ctx.tx, 'piece', { pieceId }))!;
    ctx.expectVersion(row.version);
    const place = await panelPlace(ctx.tx, row.panelId);
    const subject = pieceMarkOf(place.fullMark, row.mark);
    // a traced piece and one of the drawing may bear one mark: the id tells them apart
    const said = ['piece.trace', 'piece.describe'];
    return {
      log: { siteId: row.siteId },
      subject,
      happened: null,
      payload: {
        pieceId,
        shows: shows === undefined ? row.shows : shows,
        glass: glass === undefined ? row.glass : glass,
      },
      ...(await lastEntryAbout(ctx.tx, row.siteId, subject, said, { pieceId })),
    };
  },
  async project(entry, tx) {
    const { pieceId, ...changes } = entry.payload;
    await changeRows(tx, 'piece', { pieceId }, { ...changes, version: entry.seq });
    await pieceFindable(tx, entry, pieceId);
    await refreshShown(tx, entry.siteId!, entry.subject!);
  },
  answer: answerPiece,
});

export const carryOverBody = z.strictObject({
  matches: z
    .array(
      z
        .strictObject({
          provisionalPieceId: idSchema,
          pieceId: idSchema.nullable().describe('null: no piece of the drawing is this one'),
          reason: noteText.optional(),
        })
        .refine(({ pieceId, reason }) => pieceId !== null || reason !== undefined, {
          message: 'say why no piece of the drawing is this one',
          path: ['reason'],
        }),
    )
    .min(1)
    .max(100),
});

/** A person confirms which piece of the signed drawing each provisional one is. */
export const carryOver = defineCommand({
  type: 'piece.carry-over',
  body: carryOverBody.extend({ panelId: idSchema }),
  role: 'recorder',
  target: 'panel',
  siteOf: ({ panelId }, tx) => siteOf(tx, 'panel', panelId),
  async decide({ panelId, matches }, ctx) {
    const place = await panelPlace(ctx.tx, panelId);
    if (place.signedRevision === null) {
      throw new Problem(
        'net-unsigned',
        'Sign a lead drawing of this panel first; then its numbers are there to carry over to.',
      );
    }
    const pieces = new Map(
      (await findRows(ctx.tx, 'piece', { panelId })).map((piece) => [piece.pieceId, piece]),
    );
    const carried = matches.map(({ provisionalPieceId, pieceId, reason }, i) => {
      const from = pieces.get(provisionalPieceId);
      const to = pieceId === null ? null : pieces.get(pieceId);
      if (from?.provisional !== true || to === undefined || to?.provisional === true) {
        throw new Problem(
          'subject-unknown',
          `matches[${i}]: name a provisional piece of this panel and a piece of its signed drawing. Read the proposal again.`,
          { field: `matches[${i}]` },
        );
      }
      if (from.retired) {
        throw new Problem(
          'piece-carried',
          `matches[${i}]: the provisional piece ${from.mark} was carried over before. Leave it out.`,
          { field: `matches[${i}]` },
        );
      }
      return {
        provisionalPieceId,
        provisionalMark: from.mark,
        pieceId,
        pieceMark: to?.mark ?? null,
        ...(reason === undefined ? {} : { reason }),
      };
    });
    return {
      log: { siteId: place.siteId },
      subject: place.fullMark,
      happened: null,
      payload: { panelId, revision: place.signedRevision, matches: carried },
    };
  },
  async project(entry, tx) {
    const { panelId, revision, matches } = entry.payload;
    const { fullMark } = await panelPlace(tx, panelId);
    for (const { provisionalPieceId, provisionalMark, pieceId, pieceMark } of matches) {
      const from = (await findRow(tx, 'piece', { pieceId: provisionalPieceId }))!;
      await changeRows(
        tx,
        'piece',
        { pieceId: provisionalPieceId },
        { carriedTo: pieceId, retired: true, version: entry.seq },
      );
      await forgetFindable(tx, entry.siteId!, 'piece', provisionalPieceId);
      if (pieceId === null || pieceMark === null) continue;
      const to = (await findRow(tx, 'piece', { pieceId }))!;
      await changeRows(
        tx,
        'piece',
        { pieceId },
        { shows: to.shows ?? from.shows, glass: to.glass ?? from.glass, version: entry.seq },
      );
      await carryTechnique(tx, entry.seq, provisionalPieceId, pieceId);
      await pieceFindable(tx, entry, pieceId);
      // Findings without a drawing revision were named after provisional pieces.
      const moved = await tx.query<{ findingId: string }>(
        `UPDATE finding SET in_panel = $3, net_revision = $4
         WHERE panel_id = $1 AND in_panel = $2 AND net_revision IS NULL
         RETURNING finding_id`,
        [panelId, provisionalMark, pieceMark, revision],
      );
      const marks = [provisionalMark, pieceMark].map((mark) => pieceMarkOf(fullMark, mark));
      const findingIds = moved.map(({ findingId }) => findingId);
      await moveFindable(tx, entry.siteId!, findingIds, marks[0]!, marks[1]!);
      await refreshShown(tx, entry.siteId!, marks[1]!);
    }
  },
  answer: ({ payload }) => Promise.resolve(payload),
});

/** How the provisional piece was said to be made holds of the drawn one, where that says nothing itself. */
async function carryTechnique(
  tx: Tx,
  version: number,
  fromPieceId: string,
  pieceId: string,
): Promise<void> {
  const from = await findRow(tx, 'piece_technique', { pieceId: fromPieceId });
  if (from === undefined || (await findRow(tx, 'piece_technique', { pieceId })) !== undefined)
    return;
  await putRow(tx, 'piece_technique', { ...from, pieceId, version });
}

function checkedArea(ringMm: readonly XyMm[]): number {
  const areaMm2 = Math.round(Math.abs(ringAreaMm2(ringMm)) * 100) / 100;
  if (areaMm2 >= 1) return areaMm2;
  throw new Problem(
    'geometry-invalid',
    'The outline encloses less than 1 mm². Trace it round the piece.',
    {
      field: 'ringMm',
    },
  );
}

function nextNumber(others: readonly PieceRow[]): number {
  return 1 + Math.max(0, ...others.map((piece) => Number.parseInt(piece.mark, 10)));
}

async function answerPiece({ payload }: ProjectedEntry<{ pieceId: string }>, tx: Tx) {
  return pieceView((await findRow(tx, 'piece', { pieceId: payload.pieceId }))!);
}
