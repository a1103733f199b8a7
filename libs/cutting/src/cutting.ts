/**
 * What is cut from which sheet. Frame: millimetres, y down, as the drawing has it. A turn is clockwise
 * as one looks at it; nothing is ever turned over, because the two faces of a glass differ.
 */
import type { XyMm } from '#libs/net';

export interface CutPiece {
  /** number of the piece: `12`, `12a` */
  readonly piece: string;
  /** as cut, positive ring */
  readonly ringMm: readonly XyMm[];
  /**
   * How the streaks of the glass are to run, degrees clockwise from the top of the panel; null: any way.
   */
  readonly grainDeg: number | null;
}

export interface SheetKind {
  readonly sheet: string;
  readonly widthMm: number;
  readonly heightMm: number;
  /** How the streaks run, degrees clockwise from the sheet's height; null: even glass. */
  readonly grainDeg: number | null;
  /** Whole sheets that are there. */
  readonly count: number;
  /** What is left of an earlier sheet: taken before a whole one. */
  readonly isOffcut: boolean;
}

export interface CutOptions {
  /** Between two pieces: room for the cut and for grozing. */
  readonly gapMm: number;
  /** Along the sheet's edge, which is often not clean. */
  readonly edgeMm: number;
}

export interface LaidPiece {
  readonly piece: string;
  /** From how it stands in the panel. */
  readonly turnDeg: number;
  /** Where it lies on the sheet, from the sheet's top left corner. */
  readonly ringMm: readonly XyMm[];
}

export interface RectangleMm {
  readonly xMm: number;
  readonly yMm: number;
  readonly widthMm: number;
  readonly heightMm: number;
}

export interface LaidSheet {
  readonly sheet: string;
  readonly isOffcut: boolean;
  readonly widthMm: number;
  readonly heightMm: number;
  readonly pieces: readonly LaidPiece[];
  /** Area of the pieces on it. */
  readonly usedMm2: number;
  /** Largest upright rectangle that stays free: the offcut that is worth keeping. */
  readonly offcut: RectangleMm | null;
}

export interface Cutting {
  readonly sheets: readonly LaidSheet[];
  /** On no sheet, because it is larger than every one of them. */
  readonly tooLarge: readonly TooLarge[];
  /** Fit on a sheet, but no sheet is left: only where there are offcuts alone. */
  readonly unlaid: readonly string[];
  /** Whole sheets that are wanted beyond those that are there. */
  readonly missingSheets: number;
  /** No way of laying needs fewer whole sheets than this: their area alone. */
  readonly leastSheets: number;
}

export interface TooLarge {
  readonly piece: string;
  /** Width and height that it needs on the sheet, with nothing round it. */
  readonly needsMm: XyMm;
}
