export interface Regions {
  readonly width: number;
  readonly height: number;
  /** Row-major labels ≥ 1; every cell has one; boundaries run along centre lines. */
  readonly labels: Int32Array;
  readonly outside: number;
  readonly count: number;
}
