/** The cut list of a panel: for each glass its pieces, and how many sheets they take. */
import { csvLine } from '#libs/csv';
import type { XyMm } from '#libs/net';
import type { Cutting } from './cutting.js';

export interface CutRow {
  readonly piece: string;
  /** Width and height as it lies along the streaks, else in its tightest rectangle, to half a millimetre. */
  readonly cutSizeMm: XyMm;
  readonly turnDeg: number;
  readonly grainDeg: number | null;
  readonly areaMm2: number;
  /** key of what is to hold it; null: as drawn */
  readonly heldBy: string | null;
}

export interface CutGlass extends Cutting {
  readonly materialId: string;
  readonly name: string;
  readonly maker: string | null;
  readonly batch: string | null;
  readonly glass: string;
  readonly colour: string;
  readonly thicknessMm: number;
  readonly sheetMm: XyMm;
  readonly grain: 'along-height' | 'along-width' | 'none';
  /** whole sheets that are there by the register */
  readonly inStock: number;
  readonly pieces: readonly CutRow[];
  readonly areaMm2: number;
  readonly wholeSheets: number;
  /** share of the sheets that is in no piece; 0 without sheets */
  readonly wasteRatio: number;
}

export interface CutList {
  readonly mark: string;
  readonly revision: number;
  readonly gapMm: number;
  readonly edgeMm: number;
  readonly glasses: readonly CutGlass[];
  /** pieces without a glass */
  readonly unchosen: readonly string[];
  readonly cut: readonly string[];
  readonly nothingToCut: readonly string[];
}

/** For a spreadsheet: a table of glasses, one of pieces, then what was taken for granted. CSV, RFC 4180. */
export function cutListCsv(list: CutList): string {
  const m2 = (mm2: number) => (mm2 / 1e6).toFixed(4);
  const rows: (string | number)[][] = [
    [
      'glass',
      'maker',
      'batch',
      'colour',
      'glass mm',
      'sheet width mm',
      'sheet height mm',
      'pieces',
      'pieces m2',
      'whole sheets',
      'at least',
      'in stock',
      'offcuts used',
      'waste %',
    ],
    ...list.glasses.map((one) => [
      one.name,
      one.maker ?? '',
      one.batch ?? '',
      one.colour,
      one.thicknessMm,
      ...one.sheetMm,
      one.pieces.length,
      m2(one.areaMm2),
      one.wholeSheets,
      one.leastSheets,
      one.inStock,
      one.sheets.length - one.wholeSheets,
      Math.round(one.wasteRatio * 100),
    ]),
    [],
    [
      'piece',
      'glass',
      'batch',
      'sheet',
      'cut width mm',
      'cut height mm',
      'turned deg',
      'streaks deg',
      'cut area cm2',
      'held by',
    ],
    ...list.glasses.flatMap((one) =>
      one.pieces.map((row) => [
        row.piece,
        one.name,
        one.batch ?? '',
        sheetNumber(one, row.piece),
        row.cutSizeMm[0].toFixed(1),
        row.cutSizeMm[1].toFixed(1),
        Math.round(row.turnDeg),
        row.grainDeg ?? '',
        (row.areaMm2 / 100).toFixed(1),
        row.heldBy ?? '',
      ]),
    ),
    [],
    ...assumptionsOf(list).map((line) => [line]),
    ...list.unchosen.map((piece) => [`No glass is chosen for piece ${piece}.`]),
    ...list.nothingToCut.map((piece) => [`Nothing of piece ${piece} is left to cut.`]),
    ...list.glasses.flatMap(warningsOf).map((line) => [line]),
  ];
  return rows.map(csvLine).join('');
}

/** What was taken for granted, in sentences. */
export function assumptionsOf({ gapMm, edgeMm, mark, revision }: CutList): string[] {
  return [
    `${mark}, drawing ${revision}. Sizes are glass as cut, into the heart, before grozing.`,
    `${gapMm} mm between pieces for the cut and for grozing, ${edgeMm} mm along the edge of a sheet.`,
    'Degrees are clockwise: streaks from the top of the panel, turns from how the piece stands in it. No piece is turned over.',
    'How the pieces lie is a proposal. Look at the sheet itself: seeds, figure and colour are chosen by eye.',
  ];
}

/** What is in the way of cutting this glass, in sentences. */
export function warningsOf(one: CutGlass): string[] {
  return [
    ...one.tooLarge.map(
      ({ piece, needsMm: [w, h] }) =>
        `Piece ${piece} needs ${Math.ceil(w)} × ${Math.ceil(h)} mm and is on no sheet of ${one.name}.`,
    ),
    ...(one.unlaid.length === 0
      ? []
      : [`No sheet of ${one.name} is left for ${one.unlaid.join(', ')}.`]),
    ...(one.missingSheets === 0
      ? []
      : [`${one.missingSheets} more whole sheets of ${one.name} are wanted than are in stock.`]),
  ];
}

/** The sheet that a piece lies on, from 1; empty where it is on none. */
export function sheetNumber({ sheets }: CutGlass, piece: string): number | '' {
  const at = sheets.findIndex(({ pieces }) => pieces.some((laid) => laid.piece === piece));
  return at === -1 ? '' : at + 1;
}
