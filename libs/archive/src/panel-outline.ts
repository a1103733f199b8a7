import { boundsMm, pointsOfFlat, type XyMm } from '#libs/net';
import type { PrepareContext } from './command.js';
import { drawingInForce } from './drawing-in-force.js';
import { findRow } from './tables.js';
import { unknown } from './unknown.js';

/** A panel's outline as the window is drawn, in the panel's own frame, which begins at its top left. */
export function outlineInPanel(flatRingMm: readonly number[]): XyMm[] {
  const ring = pointsOfFlat(flatRingMm);
  const { minX, minY } = boundsMm(ring);
  return ring.map(([x, y]): XyMm => [x - minX, y - minY]);
}

/** Outline of a panel in its own frame: of the lead drawing in force, else as the window is drawn. */
export async function panelOutline(
  { tx, objects }: PrepareContext,
  panelId: string,
): Promise<XyMm[]> {
  const panel = await findRow(tx, 'panel', { panelId });
  if (panel === undefined) throw unknown('panel');
  const drawn = await drawingInForce({ tx, objects }, panel);
  if (drawn === undefined) return outlineInPanel(panel.ringMm);
  return drawn.net.outlineMm.map(([x, y]): XyMm => [x, y]);
}
