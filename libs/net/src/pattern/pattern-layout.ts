/** Pattern pieces for cutting: each piece of glass as cut, laid on sheets or left in its place. */
import { type Curve, curvePoints, placeCurve } from '../curve/curve-parts.js';
import { netCurves } from '../curve/net-curves.js';
import type { Net, XyMm } from '../net.js';
import { boundsMm } from '../ring.js';

const BOX_ERROR_MM = 0.02;

export interface PatternOptions {
  /** Width and height of the sheets to lay the pieces on; absent: every piece in its place. */
  readonly sheetMm?: XyMm;
  /** Between two pieces on a sheet, 4 mm. */
  readonly gapMm?: number;
  /**
   * Direction of grain or figure for pieces that have one: degrees clockwise from the top of the
   * panel, as the pattern is seen. Pieces that are not named get an arrow to the top of the panel.
   */
  readonly arrowsDeg?: Readonly<Record<string, number>>;
  /** Turned over, for glass that is cut from its back. */
  readonly mirrored?: boolean;
}

export interface PatternPiece {
  readonly pieceId: string;
  /** 0 and on. */
  readonly sheet: number;
  readonly curve: Curve;
  readonly labelMm: XyMm;
  readonly labelRadiusMm: number;
  /** From tail to tip. */
  readonly arrowMm: readonly [XyMm, XyMm];
  /** The arrow is a grain that was asked for; else it points to the top of the panel. */
  readonly isGrain: boolean;
  /** Width and height as it stands in the panel, to half a millimetre. */
  readonly cutSizeMm: XyMm;
  /** Turned by a quarter (clockwise) to fit its sheet. */
  readonly isTurned: boolean;
}

export interface PatternLayout {
  readonly sheetMm: XyMm;
  readonly sheets: number;
  readonly pieces: readonly PatternPiece[];
  /** Larger than a sheet either way: each has a sheet of its own, which it overhangs. */
  readonly tooLarge: readonly string[];
  /** Wholly under lead: there is nothing to cut. */
  readonly nothingToCut: readonly string[];
}

/**
 * Lays the pieces on sheets in shelves, the highest first, upright unless only turned they fit.
 *
 * Source: first-fit decreasing height, Coffman, Garey, Johnson and Tarjan 1980 (from memory). Paper
 * is cheap and shelves are quickly found by eye; glass is laid out by hand on its own figure.
 */
export function patternLayout(net: Net, options: PatternOptions = {}): PatternLayout {
  const { gapMm = 4, sheetMm } = options;
  const curves = netCurves(net, options);
  const nothingToCut: string[] = [];
  const upright = net.pieces.flatMap((piece, i): PatternPiece[] => {
    const curve = curves.cut[i];
    if (!curve) {
      nothingToCut.push(piece.pieceId);
      return [];
    }
    const labelMm = curves.labelsMm[i]!;
    const box = boundsMm(piece.cutRingMm);
    const grain = options.arrowsDeg?.[piece.pieceId];
    return [
      {
        pieceId: piece.pieceId,
        sheet: 0,
        curve,
        labelMm,
        labelRadiusMm: piece.labelRadiusMm,
        arrowMm: arrow(labelMm, piece.labelRadiusMm, grain ?? 0),
        isGrain: grain !== undefined,
        cutSizeMm: [half(box.maxX - box.minX), half(box.maxY - box.minY)],
        isTurned: false,
      },
    ];
  });
  if (sheetMm === undefined) {
    const box = boundsMm(net.outlineMm);
    const toCorner = ([x, y]: XyMm): XyMm => [x - box.minX, y - box.minY];
    return {
      sheetMm: [box.maxX - box.minX, box.maxY - box.minY],
      sheets: 1,
      pieces: upright.map((piece) => moved(piece, toCorner, 0, false)),
      tooLarge: [],
      nothingToCut,
    };
  }
  return { sheetMm, nothingToCut, ...onShelves(upright, sheetMm, gapMm) };
}

function onShelves(
  pieces: readonly PatternPiece[],
  [width, height]: XyMm,
  gapMm: number,
): Pick<PatternLayout, 'sheets' | 'pieces' | 'tooLarge'> {
  interface Shelf {
    sheet: number;
    topMm: number;
    heightMm: number;
    usedMm: number;
  }
  const shelves: Shelf[] = [];
  const filledMm: number[] = [];
  const tooLarge: PatternPiece[] = [];
  const fitting = pieces.flatMap((piece): PatternPiece[] => {
    const [w, h] = sizeOf(piece);
    if (w <= width && h <= height) return [piece];
    if (h <= width && w <= height) return [turned(piece)];
    tooLarge.push(piece);
    return [];
  });
  const placed = fitting
    .toSorted((a, b) => sizeOf(b)[1] - sizeOf(a)[1])
    .map((piece): PatternPiece => {
      const [w, h] = sizeOf(piece);
      let shelf = shelves.find((one) => one.heightMm >= h && one.usedMm + w <= width + 1e-9);
      if (shelf === undefined) {
        let sheet = filledMm.findIndex((filled) => filled + h <= height + 1e-9);
        if (sheet === -1) sheet = filledMm.push(0) - 1;
        shelf = { sheet, topMm: filledMm[sheet]!, heightMm: h, usedMm: 0 };
        filledMm[sheet]! += h + gapMm;
        shelves.push(shelf);
      }
      const box = boxOf(piece);
      const { sheet, topMm, usedMm } = shelf;
      shelf.usedMm += w + gapMm;
      const shift = ([x, y]: XyMm): XyMm => [x - box.minX + usedMm, y - box.minY + topMm];
      return moved(piece, shift, sheet, piece.isTurned);
    });
  const own = tooLarge.map((piece, i) => {
    const box = boxOf(piece);
    const shift = ([x, y]: XyMm): XyMm => [x - box.minX, y - box.minY];
    return moved(piece, shift, filledMm.length + i, false);
  });
  return {
    sheets: filledMm.length + own.length,
    pieces: [...placed, ...own].sort((a, b) => a.sheet - b.sheet),
    tooLarge: own.map((piece) => piece.pieceId),
  };
}

/** Bounds of a pattern where it lies. */
export function boxOf({ curve }: Pick<PatternPiece, 'curve'>) {
  return boundsMm(curvePoints(curve, BOX_ERROR_MM));
}

function sizeOf(piece: PatternPiece): XyMm {
  const box = boxOf(piece);
  return [box.maxX - box.minX, box.maxY - box.minY];
}

function turned(piece: PatternPiece): PatternPiece {
  return moved(piece, ([x, y]) => [0 - y, x], piece.sheet, true);
}

function moved(
  piece: PatternPiece,
  place: (xyMm: XyMm) => XyMm,
  sheet: number,
  isTurned: boolean,
): PatternPiece {
  return {
    ...piece,
    sheet,
    isTurned,
    curve: placeCurve(piece.curve, place, false),
    labelMm: place(piece.labelMm),
    arrowMm: [place(piece.arrowMm[0]), place(piece.arrowMm[1])],
  };
}

/** Below the number's middle and through the circle that is free round it. */
function arrow([x, y]: XyMm, radiusMm: number, deg: number): [XyMm, XyMm] {
  const length = Math.min(30, 1.8 * radiusMm);
  const angle = (deg * Math.PI) / 180;
  const [ux, uy] = [Math.sin(angle), -Math.cos(angle)];
  return [
    [x - (ux * length) / 2, y - (uy * length) / 2],
    [x + (ux * length) / 2, y + (uy * length) / 2],
  ];
}

function half(mm: number): number {
  return Math.round(mm * 2) / 2;
}
