import type { Polyline } from './polyline.js';

export type CameKind = 'outer' | 'border' | 'inner' | 'mending' | 'strap' | 'foil' | 'broken';

/** One came as drawn, before it is cut at joints. */
export interface Curve {
  line: Polyline;
  widthMm: number;
  kind: CameKind;
}

/** Width and height over the outer leads, mm; chosen at random when left out. */
export type SizeWish = readonly [widthMm: number, heightMm: number];

/** A panel as designed: curves in mm, y down, origin top left of the outer edge's box. */
export interface Design {
  style: string;
  sizeMm: readonly [number, number];
  /** The panel's outer edge. */
  outline: Polyline;
  curves: Curve[];
}
