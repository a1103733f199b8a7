import { distanceToSegmentMm, isInsideRing, pointsOfFlat, type XyMm } from '#libs/net';
import { Problem } from '#libs/problem';
import { defineCommand } from '../command.js';
import { checkedEdtf, happenedSchema } from '../happened.js';
import { pieceMarkOf } from '../marks.js';
import { panelPlace, siteOf } from '../place.js';
import { putTechnique } from '../put-technique.js';
import type { PieceRow } from '../rows.js';
import { idSchema } from '../shapes.js';
import { findRow } from '../tables.js';
import {
  type PieceTechnique,
  pieceTechniqueSchema,
  pieceTechniqueView,
} from '../views/piece-technique-view.js';

export const describeTechniqueBody = pieceTechniqueSchema.safeExtend({
  happened: happenedSchema.optional().describe('when it was looked at, EDTF'),
});

/** How far beyond its outline a place on the piece may lie: glass goes on into the heart of the lead. */
const INTO_LEAD_MM = 6;

/** How one piece is made; the whole of it each time, the statement before stays in the ledger. */
export const describeTechnique = defineCommand({
  type: 'piece.technique',
  body: describeTechniqueBody.safeExtend({ pieceId: idSchema }),
  role: 'recorder',
  target: 'piece',
  siteOf: ({ pieceId }, tx) => siteOf(tx, 'piece', pieceId),
  async decide({ pieceId, happened, ...said }, ctx) {
    const piece = (await findRow(ctx.tx, 'piece', { pieceId }))!;
    refuseRetired(piece);
    checkGauged(said, piece);
    checkGenerations(said, piece);
    const before = await findRow(ctx.tx, 'piece_technique', { pieceId });
    if (before !== undefined) ctx.expectVersion(before.version);
    const place = await panelPlace(ctx.tx, piece.panelId);
    return {
      log: { siteId: place.siteId },
      subject: pieceMarkOf(place.fullMark, piece.mark),
      happened: checkedEdtf(happened),
      payload: { pieceId, panelId: piece.panelId, said },
      ...(before === undefined ? {} : { supersedes: { seq: Number(before.entrySeq) } }),
    };
  },
  async project(entry, tx) {
    await putTechnique(tx, entry, entry.payload);
  },
  answer: async ({ payload: { pieceId } }, tx) =>
    pieceTechniqueView((await findRow(tx, 'piece_technique', { pieceId }))!),
});

function refuseRetired({ retired, carriedTo, mark }: PieceRow): void {
  if (!retired) return;
  throw new Problem(
    'piece-carried',
    carriedTo === null
      ? `The piece ${mark} is in no drawing any more. Describe a piece of the signed drawing.`
      : `The piece ${mark} was carried over to one of the signed drawing. Describe that one.`,
  );
}

function checkGauged({ layers }: PieceTechnique, piece: PieceRow): void {
  const ring = pointsOfFlat(piece.ringMm);
  for (const [i, layer] of layers.entries()) {
    if (layer.is !== 'glass') continue;
    for (const [k, { xyMm }] of (layer.gauged ?? []).entries()) {
      if (isInsideRing(xyMm, ring) || awayMm(xyMm, ring) <= INTO_LEAD_MM) continue;
      const field = `layers[${i}].gauged[${k}]`;
      throw new Problem(
        'geometry-invalid',
        `${field}: that place is not on the piece ${piece.mark}. Tap on the glass where it was gauged.`,
        { field },
      );
    }
  }
}

function awayMm(place: XyMm, ring: readonly XyMm[]): number {
  return Math.min(
    ...ring.map((corner, i) => distanceToSegmentMm(place, corner, ring[(i + 1) % ring.length]!)),
  );
}

function checkGenerations({ generations }: PieceTechnique, piece: PieceRow): void {
  const number = /^\d+/.exec(piece.mark)?.[0];
  const seen = new Set<string>();
  for (const [i, { mark, happened }] of generations.entries()) {
    const field = `generations[${i}]`;
    checkedEdtf(happened, `${field}.happened`);
    if (mark === undefined) continue;
    if (!mark.startsWith(`${number}r`) || seen.has(mark)) {
      throw new Problem(
        'mark-invalid',
        `${field}: ${mark} is no other glass of this place. Name the replacements ${number}r2, ${number}r3, each once.`,
        { field: `${field}.mark` },
      );
    }
    seen.add(mark);
  }
}
