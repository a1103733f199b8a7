/** The lead drawing by which a panel is judged: the one that is signed, else the newest. */
import type { Net } from '#libs/net';
import type { ObjectStore } from '#libs/objects';
import type { NetRevisionRow, PanelRow } from './rows.js';
import { getNet } from './stored-json.js';
import { findRow } from './tables.js';
import type { Tx } from './tx.js';

type Drawn = Pick<PanelRow, 'panelId' | 'netRevision' | 'signedRevision'>;

/** @returns undefined: the panel has no drawing yet */
export async function drawingInForce(
  { tx, objects }: { readonly tx: Tx; readonly objects: ObjectStore },
  { panelId, netRevision, signedRevision }: Drawn,
): Promise<{ readonly row: NetRevisionRow; readonly net: Net } | undefined> {
  const revision = signedRevision ?? netRevision;
  if (revision === null) return undefined;
  const row = await findRow(tx, 'net_revision', { panelId, revision });
  return row === undefined ? undefined : { row, net: await getNet(objects, row.objectDigest) };
}
