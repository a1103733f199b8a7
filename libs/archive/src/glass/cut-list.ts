/** The cut list of a panel, from the glass that was chosen for its pieces and the sheets of the register. */
import {
  type CutGlass,
  type CutList,
  type CutOptions,
  type CutPiece,
  type Cutting,
  type LayPieces,
  roomMm,
  type SheetKind,
  toldTurnDeg,
} from '#libs/cutting';
import { ringAreaMm2, type XyMm } from '#libs/net';
import type { ObjectStore } from '#libs/objects';
import { stockOf } from '../commands/materials.js';
import { panelPlace } from '../place.js';
import type { GlassSheetRow, MaterialRow } from '../rows.js';
import { findRow } from '../tables.js';
import type { Tx } from '../tx.js';
import type { ChosenSheet, Held } from '../views/glass-view.js';
import type { ChosenGlass } from './chosen-glass.js';
import { type CutPieces, cutPiecesOf } from './cut-pieces.js';
import { sheetKindOf } from './sheet-kind.js';

export interface CutListAsked extends CutOptions {
  /** pieces that are still to be cut, or all that have a glass */
  readonly of: 'to-cut' | 'all';
}

export interface CutListPorts {
  readonly tx: Tx;
  readonly objects: ObjectStore;
  /** `layPieces`, wherever it is run */
  readonly lay: (...asked: Parameters<LayPieces>) => Promise<Cutting>;
}

/**
 * @returns undefined: the panel has no signed drawing. `saidAt`: when its drawing was signed, or the
 *   newest of the glass was chosen
 */
export async function cutListOf(
  ports: CutListPorts,
  panelId: string,
  asked: CutListAsked,
): Promise<
  { readonly list: CutList; readonly drawn: CutPieces; readonly saidAt: Date } | undefined
> {
  const drawn = await cutPiecesOf(ports, panelId);
  if (drawn === undefined) return undefined;
  const { tx } = ports;
  const { fullMark } = await panelPlace(tx, panelId);
  const rows = drawn.chosen;
  const named = new Set(rows.map(({ mark }) => mark));
  const wanted = rows.filter(({ state }) => asked.of === 'all' || state === 'chosen');
  const options = { gapMm: asked.gapMm, edgeMm: asked.edgeMm };
  const glasses: CutGlass[] = [];
  for (const materialId of new Set(wanted.map((row) => row.materialId))) {
    const choices = wanted.filter((row) => row.materialId === materialId);
    const glass = await glassOf(ports, materialId, choices, drawn, options);
    if (glass !== undefined) glasses.push(glass);
  }
  const marks = [...drawn.rings.keys()];
  const saidMs = [drawn.signedAt, ...rows.map(({ recordedAt }) => recordedAt)].map(Number);
  return {
    drawn,
    saidAt: new Date(Math.max(...saidMs)),
    list: {
      mark: fullMark,
      revision: drawn.revision,
      ...options,
      glasses,
      unchosen: marks.filter((mark) => !named.has(mark)),
      cut: rows.filter(({ state }) => state === 'cut').map(({ mark }) => mark),
      nothingToCut: marks.filter((mark) => drawn.rings.get(mark)!.length === 0),
    },
  };
}

async function glassOf(
  { tx, lay }: CutListPorts,
  materialId: string,
  choices: readonly ChosenGlass[],
  { rings }: CutPieces,
  options: CutOptions,
): Promise<CutGlass | undefined> {
  const sheet = await findRow(tx, 'glass_sheet', { materialId });
  const material = await findRow(tx, 'material', { materialId });
  if (sheet === undefined || material === undefined) return undefined;
  const inStock = await wholeLeft(tx, material);
  const own = sheetKindOf(sheet, inStock);
  const kinds = own.isOffcut ? [own] : [own, ...(await offcutsOf(tx, materialId))];
  const pieces = choices.flatMap(({ mark, grainDeg }): CutPiece[] => {
    const ringMm = rings.get(mark) ?? [];
    return ringMm.length === 0 ? [] : [{ piece: mark, ringMm, grainDeg }];
  });
  const laid = await lay(pieces, kinds, options);
  const held = new Map(choices.map((one) => [one.mark, one.held as Held | null]));
  const areaMm2 = sum(pieces.map(({ ringMm }) => ringAreaMm2(ringMm)));
  const sheetsMm2 = sum(laid.sheets.map(({ widthMm, heightMm }) => widthMm * heightMm));
  const { name, maker, batch, glass, colour, thicknessMm } = choices[0]!.sheet as ChosenSheet;
  return {
    ...laid,
    materialId,
    name,
    maker,
    batch,
    glass,
    colour,
    thicknessMm,
    sheetMm: [sheet.widthMm, sheet.heightMm],
    grain: sheet.grain,
    inStock,
    areaMm2,
    wholeSheets: laid.sheets.filter(({ isOffcut }) => !isOffcut).length,
    wasteRatio:
      sheetsMm2 === 0 ? 0 : 1 - sum(laid.sheets.map(({ usedMm2 }) => usedMm2)) / sheetsMm2,
    pieces: pieces.map((piece) => {
      const turnDeg = toldTurnDeg(piece, own);
      return {
        piece: piece.piece,
        cutSizeMm: roomMm(piece.ringMm, turnDeg).map(half) as unknown as XyMm,
        turnDeg,
        grainDeg: piece.grainDeg,
        areaMm2: ringAreaMm2(piece.ringMm),
        heldBy: held.get(piece.piece)?.by ?? null,
      };
    }),
  };
}

async function offcutsOf(tx: Tx, materialId: string): Promise<SheetKind[]> {
  const rows = await tx.query<GlassSheetRow>(
    'SELECT * FROM glass_sheet WHERE offcut_of = $1 ORDER BY material_id',
    [materialId],
    ['glass_sheet'],
  );
  const kinds: SheetKind[] = [];
  for (const row of rows) {
    const material = await findRow(tx, 'material', { materialId: row.materialId });
    kinds.push(sheetKindOf(row, material === undefined ? 0 : await wholeLeft(tx, material)));
  }
  return kinds.filter(({ count }) => count > 0);
}

/** Sheets that are there, as a number that can be laid out. */
async function wholeLeft(tx: Tx, material: MaterialRow): Promise<number> {
  if (material.state === 'retired') return 0;
  return Math.max(0, Math.min(1000, Math.floor(Number(await stockOf(tx, material)))));
}

const half = (mm: number) => Math.round(mm * 2) / 2;
const sum = (values: readonly number[]) => values.reduce((total, value) => total + value, 0);
