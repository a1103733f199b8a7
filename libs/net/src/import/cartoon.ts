/** What is read from a drawing of new work, before it becomes a net. */
import type { NetSketch, XyMm } from '../net.js';

export type CartoonFormat = 'svg' | 'dxf' | 'geojson';

export interface CartoonOptions {
  /** Its ending tells the format; else the text does. */
  readonly fileName?: string;
  /** Millimetres in one unit of the file; else what the file states. */
  readonly unitMm?: number;
  /** Ends nearer than this belong together; 0.5 mm (ours). */
  readonly toleranceMm?: number;
  /** Face of every lead that the file gives no width for; 6 mm (common practice, no source). */
  readonly faceWidthMm?: number;
  /** Names of the layers that hold the leads; else told by their names, or all lines. */
  readonly layers?: readonly string[];
  /** `box`: the outer edge is the rectangle round the lines, when the file draws none. */
  readonly outline?: 'drawn' | 'box';
}

export type RepairKind =
  | 'unit-assumed'
  | 'width-assumed'
  | 'outline-made'
  | 'turned-over'
  | 'gap-closed'
  | 'crossing-split'
  | 'duplicate-dropped'
  | 'overlap-dropped'
  | 'dangling-end'
  | 'outside-dropped'
  | 'too-short-dropped'
  | 'left-out';

/** One thing that was put right, in a sentence; the place is in the drawing's own millimetres. */
export interface CartoonRepair {
  readonly kind: RepairKind;
  readonly sentence: string;
  readonly xyMm: XyMm | null;
}

export interface CartoonLayer {
  readonly name: string;
  readonly lines: number;
  readonly isUsed: boolean;
}

/** A cartoon as a sketch that `buildNet` takes; its outer corner top left is the origin. */
export interface Cartoon {
  readonly format: CartoonFormat;
  readonly unitMm: number;
  /** Where the unit is taken from, in words. */
  readonly unitFrom: string;
  readonly widthMm: number;
  readonly heightMm: number;
  readonly layers: readonly CartoonLayer[];
  readonly sketch: NetSketch;
  readonly repairs: readonly CartoonRepair[];
}

export type CartoonFault =
  | 'unknown-format'
  | 'not-well-formed'
  | 'too-large'
  | 'unsafe'
  | 'no-lines'
  | 'no-outline'
  | 'unit-unknown'
  | 'size-unlikely'
  | 'does-not-close';

/** Why a file is no cartoon that can be taken; the message says what to do. */
export class CartoonError extends Error {
  override readonly name = 'CartoonError';
  constructor(
    readonly fault: CartoonFault,
    message: string,
    readonly xyMm: XyMm | null = null,
  ) {
    super(message);
  }
}
