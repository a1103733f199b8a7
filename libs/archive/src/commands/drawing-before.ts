/** The drawing that the next one of a panel follows. */
import type { Net, Numbering } from '#libs/net';
import type { PrepareContext } from '../command.js';
import { getNet } from '../stored-json.js';
import { findRows } from '../tables.js';
import type { Tx } from '../tx.js';
import { revisionOfLayer } from './net-revision.js';

export interface DrawingBefore {
  readonly digest: string | null;
  readonly net: Net | undefined;
  /** Pieces keep their numbers by overlap; a number that any signed piece ever had is not given to another. */
  readonly numbering: Numbering;
}

/** The newest drawing of the layer, the front's when none is named. */
export async function drawingBefore(
  tx: Tx,
  objects: PrepareContext['objects'],
  panelId: string,
  layer = 'front',
): Promise<DrawingBefore> {
  const row = await revisionOfLayer(tx, panelId, layer);
  const net = row === undefined ? undefined : await getNet(objects, row.objectDigest);
  const retiredNumbers = layer === 'front' ? await signedNumbers(tx, panelId) : [];
  return {
    digest: row?.objectDigest ?? null,
    net,
    numbering: { ...(net === undefined ? {} : { earlier: net }), retiredNumbers },
  };
}

/** Numbers of all pieces that were ever signed, those that are gone among them. */
async function signedNumbers(tx: Tx, panelId: string): Promise<number[]> {
  const pieces = await findRows(tx, 'piece', { panelId, provisional: false });
  return [...new Set(pieces.map(({ mark }) => Number.parseInt(mark, 10)))].filter(Number.isInteger);
}
