/** The pieces of a signed drawing as they are to be cut, for what is to hold each. */
import { heldNet, type Net, type SeamKind, type XyMm } from '#libs/net';
import type { ObjectStore } from '#libs/objects';
import { drawingInForce } from '../drawing-in-force.js';
import { findRow } from '../tables.js';
import type { Tx } from '../tx.js';
import type { Held } from '../views/glass-view.js';

export interface CutPieces {
  readonly revision: number;
  /** with its inner leads as the pieces are to be held */
  readonly net: Net;
  /** by number: as cut; empty where nothing is left to cut */
  readonly rings: ReadonlyMap<string, readonly XyMm[]>;
}

/**
 * @param held by number of the piece: goes before what was chosen so far
 * @returns undefined: the panel has no signed drawing
 */
export async function cutPiecesOf(
  { tx, objects }: { readonly tx: Tx; readonly objects: ObjectStore },
  panelId: string,
  held: Readonly<Record<string, Held>> = {},
): Promise<CutPieces | undefined> {
  const panel = await findRow(tx, 'panel', { panelId });
  if (panel?.signedRevision == null) return undefined;
  const drawing = await drawingInForce({ tx, objects }, panel);
  if (drawing === undefined) return undefined;
  const chosen = await tx.query<{ mark: string; held: Held | null }>(
    `SELECT p.mark, c.held FROM glass_choice c JOIN piece p USING (piece_id)
     WHERE c.panel_id = $1 AND c.state <> 'taken-back' AND NOT p.retired`,
    [panelId],
    ['glass_choice', 'piece'],
  );
  const seams: Record<string, SeamKind> = {};
  for (const { mark, held: by } of chosen) if (by !== null) seams[mark] = seamOf(by);
  for (const [mark, by] of Object.entries(held)) seams[mark] = seamOf(by);
  const net = heldNet(drawing.net, seams);
  return {
    revision: panel.signedRevision,
    net,
    rings: new Map(net.pieces.map(({ pieceId, cutRingMm }) => [pieceId, cutRingMm])),
  };
}

function seamOf({ by }: Held): SeamKind {
  if (by === 'copper-foil') return 'foil';
  return by === 'silicone-plate' ? 'joint' : 'came';
}
