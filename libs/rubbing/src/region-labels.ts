export interface Regions {
  readonly width: number;
  readonly height: number;
  /** Row-major labels ≥ 1; every cell has one; boundaries run along centre lines. */
  readonly labels: Int32Array;
  readonly outside: number;
  readonly count: number;
  /** Walls over which regions were joined, though the evidence for a lead was not far from enough. */
  readonly faint?: readonly FaintWall[];
}

/** Middle and length in cells. */
export interface FaintWall {
  readonly x: number;
  readonly y: number;
  readonly length: number;
}
