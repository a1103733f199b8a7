import { openingSizeMm, type WindowDrawing } from '#libs/elevation';
import type { ObjectStore } from '#libs/objects';
import type { Observation, RecordDimension, RecordDrawing } from '#libs/records';
import { drawingInForce } from '../drawing-in-force.js';
import { outlineInPanel } from '../panel-outline.js';
import type { Tx } from '../tx.js';
import type { MarkedPanel, RecordScope } from './record-scope.js';

/** A window's record draws the panels that hold findings, this many at most. */
const DRAWINGS_MAX = 24;

export async function recordDrawings(
  tx: Tx,
  objects: ObjectStore,
  { subject, panels }: RecordScope,
  observations: readonly Observation[],
): Promise<RecordDrawing[]> {
  if (subject.kind === 'site') return [];
  const withFindings = new Set(observations.map((one) => one.panelMark));
  const drawn =
    subject.kind === 'window'
      ? panels.filter((panel) => withFindings.has(panel.fullMark)).slice(0, DRAWINGS_MAX)
      : panels.slice(0, 1);
  const focusPieceId = subject.kind === 'piece' ? (subject.mark.split('.')[3] ?? null) : null;
  const drawings: RecordDrawing[] = [];
  for (const panel of drawn) drawings.push(await drawingOf(tx, objects, panel, focusPieceId));
  return drawings;
}

async function drawingOf(
  tx: Tx,
  objects: ObjectStore,
  panel: MarkedPanel,
  focusPieceId: string | null,
): Promise<RecordDrawing> {
  const drawn = await drawingInForce({ tx, objects }, panel);
  const net = drawn?.net ?? null;
  const revision = drawn?.row.revision ?? null;
  const isInNet = net?.pieces.some((piece) => piece.pieceId === focusPieceId) ?? false;
  return {
    mark: panel.fullMark,
    net,
    outlineMm: outlineInPanel(panel.ringMm),
    revision,
    isSigned: net !== null && panel.signedRevision === revision,
    openDoubts: drawn?.row.signedDoubts ?? 0,
    focusPieceId: isInNet ? focusPieceId : null,
  };
}

interface Size {
  widthMm: number;
  heightMm: number;
  source: RecordDimension['source'];
}

export function recordDimensions({ subject, window, panels }: RecordScope): RecordDimension[] {
  if (subject.kind === 'window' && window !== undefined) {
    const { opening } = window.drawing as WindowDrawing;
    return [{ name: 'opening', ...openingSizeMm(opening), source: 'measured', note: null }];
  }
  if (subject.kind !== 'panel') return [];
  const sizes = (panels[0]?.sizes ?? {}) as Partial<Record<'panel' | 'tight' | 'sight', Size>>;
  return (['panel', 'tight', 'sight'] as const).flatMap((name) => {
    const size = sizes[name];
    if (size === undefined) return [];
    const { widthMm, heightMm, source } = size;
    return [{ name: `${name} size`, widthMm, heightMm, source, note: null }];
  });
}
