import type { Plane } from '#libs/raster';

/** What the sheet says about leads, on cells of 0.5 mm, or smaller where there are narrow faces. */
export interface LeadEvidence {
  /** Probability that a came's face covers the cell. */
  readonly face: Plane;
  /** exp(-(d / 0.9 mm)²) of the distance d to the nearest centre line, as the network expects it. */
  readonly centre: Plane;
  /** Probability that the cell lies outside the panel. */
  readonly outside: Plane;
  readonly cellsPerMm: number;
  /** Panel place of the centre of cell (0, 0). */
  readonly originMm: readonly [number, number];
}
