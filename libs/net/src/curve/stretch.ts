/** A run of points to be fitted by one part, and the part that was fitted. */
import type { CurvePart, XyMm } from '../net.js';

export interface Fit {
  readonly part: CurvePart;
  /** Largest distance found between the points and the part. */
  readonly offMm: number;
}

/** The stretch `first` … `last` of `points`, and the unit directions of travel at its ends. */
export interface Stretch {
  readonly points: readonly XyMm[];
  readonly first: number;
  readonly last: number;
  /** null: free. */
  readonly startDirection: XyMm | null;
  readonly endDirection: XyMm | null;
}
