import type { Net } from '#libs/net';
import { readNet } from '../platform/api/nets.js';
import type { Panel, Piece } from '../platform/api/panels.js';
import { sketchOfTraced } from './traced-net.js';

/** The newest lead drawing of a panel, or what was traced of it so far. */
export async function readDrawing(
  panel: Panel,
  pieces: readonly Piece[],
  signal: AbortSignal,
): Promise<Net> {
  if (panel.netRevision !== null) return readNet(panel.panelId, panel.netRevision, signal);
  return sketchOfTraced(panel, pieces);
}
