/** A panel as this device knows it without a line: its outline, its pieces, and what was found on it. */
import { get, set } from 'idb-keyval';
import { readDrawing } from '../../bench/read-drawing.js';
import { glassOf } from '../../drawing/glass-of.js';
import type { Xy } from '../../drawing/plane.js';
import { type Finding, readFindings } from '../../platform/api/findings.js';
import { type Face, type Layer, readPanel, readPieces } from '../../platform/api/panels.js';
import { resolveMark } from '../../platform/api/sites.js';
import { say } from '../../platform/language/say.js';

export interface KnownPiece {
  readonly pieceId: string;
  readonly centreRingMm: readonly Xy[];
  /** the glass that is seen: what shares are of */
  readonly glassMm: readonly (readonly Xy[])[];
  readonly labelMm: Xy;
  readonly labelRadiusMm: number;
}

export interface KnownPanel {
  readonly archiveId: string;
  readonly panelId: string;
  readonly mark: string;
  /** RFC 3339: when it was read */
  readonly readAt: string;
  /** of the drawing; null: only traced pieces */
  readonly netRevision: number | null;
  readonly face: Face;
  readonly layer: Layer;
  readonly outlineMm: readonly Xy[];
  readonly pieces: readonly KnownPiece[];
  /** those that stand, newest first */
  readonly findings: readonly Finding[];
}

const keyOf = (archiveId: string, mark: string) => `phone panel ${archiveId} ${mark}`;

export const knownPanel = (archiveId: string, mark: string): Promise<KnownPanel | undefined> =>
  get<KnownPanel>(keyOf(archiveId, mark));

/** Reads one panel and keeps it for times without a line. @param mark of a panel or of a piece in it */
export async function rememberPanel(
  archiveId: string,
  mark: string,
  signal: AbortSignal,
): Promise<KnownPanel> {
  const { panelId } = await resolveMark(mark, signal);
  if (panelId === null) throw new Error(say('{mark} is no panel.', { mark }));
  const [panel, pieces, findings] = await Promise.all([
    readPanel(panelId, signal),
    readPieces(panelId, signal),
    readFindings(panelId, signal),
  ]);
  const { netRevision } = panel;
  const net = await readDrawing(panel, pieces, signal);
  const known: KnownPanel = {
    archiveId,
    panelId,
    mark,
    readAt: new Date().toISOString(),
    netRevision,
    face: net.face,
    layer: net.layer,
    outlineMm: net.outlineMm,
    pieces: net.pieces.map((piece) => ({
      pieceId: piece.pieceId,
      centreRingMm: piece.centreRingMm,
      glassMm: glassOf(piece),
      labelMm: piece.labelMm,
      labelRadiusMm: piece.labelRadiusMm,
    })),
    findings,
  };
  await set(keyOf(archiveId, mark), known);
  return known;
}
