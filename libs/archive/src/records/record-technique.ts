/** What a condition record says of materials and technique, from the descriptions of pieces. */

import { pointsOfFlat } from '#libs/net';
import type { ConditionRecord } from '#libs/records';
import { thicknessMap } from '#libs/structure';
import { FATES, GLASSES, HOLDS, PAINTS, SURFACE_WORKS, type Word } from '#libs/vocabulary';
import type { PieceTechniqueRow } from '../rows.js';
import type { Tx } from '../tx.js';
import type { PieceTechnique, TechniqueLayer } from '../views/piece-technique-view.js';
import type { RecordScope } from './record-scope.js';

interface DescribedPiece extends PieceTechniqueRow {
  mark: string;
  ringMm: number[];
  areaMm2: number;
}

type GlassLayer = Extract<TechniqueLayer, { is: 'glass' }>;

/** Materials in one line of counts, technique in a line a piece; null where nobody described any. */
export async function recordTechnique(
  tx: Tx,
  { subject, panels }: Pick<RecordScope, 'subject' | 'panels'>,
): Promise<Pick<ConditionRecord, 'materials' | 'technique'>> {
  const rows = await tx.query<DescribedPiece>(
    `SELECT t.*, p.mark, p.ring_mm, p.area_mm2 FROM piece_technique t JOIN piece p USING (piece_id)
     WHERE t.panel_id = ANY ($1::uuid[]) AND NOT p.retired ORDER BY p.sort_key, p.provisional`,
    [panels.map(({ panelId }) => panelId)],
  );
  const byPanel = new Map(panels.map(({ panelId, fullMark }) => [panelId, fullMark]));
  const named = rows
    .map((row) => ({ ...row, full: `${byPanel.get(row.panelId)}.${row.mark}` }))
    .filter(({ full }) => subject.kind !== 'piece' || full === subject.mark);
  if (named.length === 0) return { materials: null, technique: null };
  return {
    materials: materialsOf(named.map(({ said }) => said as PieceTechnique)),
    technique: named
      .map((row) => {
        const told = techniqueText(row.said as PieceTechnique, row.ringMm);
        if (subject.kind === 'piece') return told;
        return `${panels.length > 1 ? row.full : row.mark}: ${told}`;
      })
      .join('\n'),
  };
}

function materialsOf(said: readonly PieceTechnique[]): string {
  const counts = new Map<string, number>();
  for (const { layers, held } of said) {
    const here = new Set([
      ...layers.flatMap((layer) =>
        layer.is === 'glass'
          ? layer.glass === undefined
            ? []
            : [labelOf(GLASSES, layer.glass)]
          : [layer.material],
      ),
      ...(held === undefined ? [] : [labelOf(HOLDS, held.by)]),
    ]);
    for (const label of here) counts.set(label, (counts.get(label) ?? 0) + 1);
  }
  const told = [...counts]
    .sort((a, b) => b[1] - a[1])
    .map(([label, count]) => (said.length === 1 ? label : `${label} (${count})`));
  return [...told, said.length === 1 ? '' : `of ${said.length} pieces that were described`]
    .filter((part) => part !== '')
    .join(', ');
}

/** One piece in one line. */
function techniqueText(
  { held, layers, generations, note }: PieceTechnique,
  ringMm: readonly number[],
) {
  const glasses = layers.filter((layer) => layer.is === 'glass').length;
  let nth = 0;
  const parts = [
    ...layers.map((layer) => {
      if (layer.is === 'interlayer')
        return join(`between: ${layer.material}`, mm(layer.thicknessMm));
      nth += 1;
      const place = nth === 1 ? 'front' : nth === glasses ? 'back' : 'middle';
      return `${glasses > 1 ? `${place}: ` : ''}${layerText(layer, ringMm)}`;
    }),
    held === undefined
      ? ''
      : join(
          `held by ${labelOf(HOLDS, held.by)}`,
          held.foilWidthMm === undefined ? '' : `${held.foilWidthMm} mm wide`,
        ),
    ...generations.map(({ mark, reason, happened, byRole, original }, i) =>
      join(
        `${mark ?? `${i + 2}. generation`}: ${reason}`,
        happened ?? '',
        byRole === undefined ? '' : `by ${byRole}`,
        `the glass before: ${labelOf(FATES, original.fate)}`,
        original.note ?? '',
      ),
    ),
    note ?? '',
  ];
  return parts.filter((part) => part !== '').join('; ');
}

function layerText(layer: GlassLayer, ringMm: readonly number[]): string {
  return join(
    layer.glass === undefined ? 'glass' : labelOf(GLASSES, layer.glass),
    layer.colour ?? '',
    layer.texture ?? '',
    thicknessText(layer, ringMm),
    layer.flash === undefined
      ? ''
      : `flash ${layer.flash.colour ?? ''} on the ${layer.flash.face}`.replace('  ', ' '),
    ...layer.worked.map(({ how, face, depthMm, note }) =>
      join(
        `${labelOf(SURFACE_WORKS, how)} on the ${face}`,
        depthMm === undefined ? '' : `${depthMm} mm deep`,
        note ?? '',
      ),
    ),
    ...layer.painted.map(({ how, face, colour, coats, note }) =>
      join(
        `${labelOf(PAINTS, how)} on the ${face}`,
        colour ?? '',
        coats === undefined ? '' : `${coats} coats`,
        note ?? '',
      ),
    ),
  );
}

function thicknessText({ gauged, thicknessMm }: GlassLayer, ringMm: readonly number[]): string {
  if (gauged === undefined) return mm(thicknessMm);
  const { lowMm, highMm, meanMm } = thicknessMap(gauged, pointsOfFlat(ringMm));
  return `${lowMm} to ${highMm} mm, mean ${meanMm.toFixed(1)} mm, gauged at ${gauged.length} places`;
}

function mm(value: number | undefined): string {
  return value === undefined ? '' : `${value} mm`;
}

function labelOf(words: readonly Word[], key: string): string {
  return words.find((word) => word.key === key)?.label ?? key;
}

function join(...parts: readonly string[]): string {
  return parts.filter((part) => part !== '').join(', ');
}
