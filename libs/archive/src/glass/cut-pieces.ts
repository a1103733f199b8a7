/** The pieces of a signed drawing as they are to be cut, for what is to hold each. */
import { heldNet, type Net, type SeamKind, type XyMm } from '#libs/net';
import type { ObjectStore } from '#libs/objects';
import { drawingInForce } from '../drawing-in-force.js';
import { findRow } from '../tables.js';
import type { Tx } from '../tx.js';
import type { Held } from '../views/glass-view.js';
import { type ChosenGlass, chosenGlass } from './chosen-glass.js';

export interface CutPieces {
  readonly revision: number;
  readonly signedAt: Date;
  readonly chosen: readonly ChosenGlass[];
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
  const chosen = await chosenGlass(tx, panelId);
  const seams: Record<string, SeamKind> = {};
  for (const { mark, held: by } of chosen) if (by !== null) seams[mark] = seamOf(by as Held);
  for (const [mark, by] of Object.entries(held)) seams[mark] = seamOf(by);
  const net = heldNet(drawing.net, seams);
  return {
    revision: panel.signedRevision,
    signedAt: drawing.row.signedAt!,
    chosen,
    net,
    rings: new Map(net.pieces.map(({ pieceId, cutRingMm }) => [pieceId, cutRingMm])),
  };
}

function seamOf({ by }: Held): SeamKind {
  if (by === 'copper-foil') return 'foil';
  return by === 'silicone-plate' ? 'joint' : 'came';
}
