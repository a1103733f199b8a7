/** The frame that a broken piece's shards lie in. */
import { pointsOfFlat, roundXy, type XyMm } from '#libs/net';
import { Problem } from '#libs/problem';
import type { PrepareContext } from '../command.js';
import { drawingInForce } from '../drawing-in-force.js';
import { checkedInPanel } from '../marks.js';
import { panelPlace } from '../place.js';
import { findRows } from '../tables.js';

export interface PieceOutline {
  /** 17 of 17 and of 17a: what the shards' marks are built on */
  readonly number: number;
  /** null: the piece is a tracing, there is no drawing */
  readonly netRevision: number | null;
  /** the glass as cut, which reaches under the leads: what whole edges of shards lie along */
  readonly outlineMm: readonly XyMm[];
}

/**
 * Outline of a piece's glass in the panel's frame: of the signed drawing, else of the newest, else as it was traced.
 *
 * @throws {Problem} `panel-unknown`, `mark-invalid`, `subject-unknown`
 */
export async function pieceOutline(
  { tx, objects }: PrepareContext,
  panelId: string,
  piece: string,
): Promise<PieceOutline> {
  const place = await panelPlace(tx, panelId);
  const mark = checkedInPanel(piece, 'piece');
  if (mark.kind !== 'piece' && mark.kind !== 'part')
    throw missing(`${piece} is no piece of glass that breaks into shards`);
  const inForce = await drawingInForce({ tx, objects }, place);
  if (inForce === undefined) {
    const [traced] = await findRows(tx, 'piece', { panelId, mark: piece, retired: false });
    if (traced === undefined) throw missing(`${place.fullMark} has no piece ${piece}`);
    return {
      number: mark.number,
      netRevision: null,
      outlineMm: rounded(pointsOfFlat(traced.ringMm)),
    };
  }
  const drawn = inForce.net.pieces.find(({ pieceId }) => pieceId === piece);
  if (drawn === undefined) throw missing(`the drawing of ${place.fullMark} has no piece ${piece}`);
  const ring = drawn.cutRingMm.length > 2 ? drawn.cutRingMm : drawn.centreRingMm;
  return { number: mark.number, netRevision: inForce.row.revision, outlineMm: rounded(ring) };
}

const rounded = (ring: readonly XyMm[]) => ring.map(roundXy);

function missing(what: string): Problem {
  return new Problem(
    'subject-unknown',
    `piece: ${what}. Take a number from the drawing, or trace the piece first.`,
    { field: 'piece' },
  );
}
