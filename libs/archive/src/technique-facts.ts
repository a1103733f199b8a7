/** What a piece's technique gives to the search: keys to filter by and words to find. */
import { TECHNIQUES } from '#libs/vocabulary';
import { findRow } from './tables.js';
import type { Tx } from './tx.js';
import type { PieceTechnique } from './views/piece-technique-view.js';

const LABELS = new Map(TECHNIQUES.map(({ key, label }) => [key, label]));

/** How the piece was said to be made; undefined where nobody said. */
export async function techniqueOf(tx: Tx, pieceId: string): Promise<PieceTechnique | undefined> {
  const row = await findRow(tx, 'piece_technique', { pieceId });
  return row?.said as PieceTechnique | undefined;
}

/** Keys of the vocabulary's techniques, each once. */
export function techniquesIn({ held, layers }: PieceTechnique): string[] {
  const glasses = layers.filter((layer) => layer.is === 'glass');
  const isLaminated = layers.some(
    (layer) => layer.is === 'interlayer' && /silicon/i.test(layer.material),
  );
  return [
    ...new Set([
      ...(held === undefined ? [] : [held.by]),
      ...(glasses.length > 1 ? [isLaminated ? 'laminated' : 'plated'] : []),
      ...glasses.flatMap(({ glass, worked, painted }) => [
        ...(glass === undefined ? [] : [glass]),
        ...worked.map(({ how }) => how),
        ...painted.map(({ how }) => how),
      ]),
    ]),
  ];
}

/** All words in it, for the search box. */
export function techniqueWords(technique: PieceTechnique): (string | undefined)[] {
  const { layers, generations, note } = technique;
  return [
    ...techniquesIn(technique).map((key) => LABELS.get(key)),
    ...layers.flatMap((layer) =>
      layer.is === 'interlayer'
        ? [layer.material]
        : [
            layer.colour,
            layer.texture,
            layer.flash?.colour,
            ...[...layer.worked, ...layer.painted].map((one) => one.note),
            ...layer.painted.map(({ colour }) => colour),
          ],
    ),
    ...generations.flatMap(({ mark, reason, original }) => [mark, reason, original.note]),
    note,
  ];
}
