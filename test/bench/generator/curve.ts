import type { Polyline } from './polyline.js';

export type CameKind = 'outer' | 'border' | 'inner' | 'mending';

/** One came as drawn, before it is cut at joints. */
export interface Curve {
  line: Polyline;
  widthMm: number;
  kind: CameKind;
}

/** A panel as designed: curves in mm, y down, origin top left of the outer edge's box. */
/** Width and height over the outer leads, mm; chosen at random when left out. */
export type SizeWish = readonly [widthMm: number, heightMm: number];

export interface Design {
  style: string;
  sizeMm: readonly [number, number];
  /** The panel's outer edge. */
  outline: Polyline;
  curves: Curve[];
}
