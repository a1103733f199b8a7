/** From lead evidence to regions: one label per piece of glass, one for the outside. */
import { watershed } from '#libs/raster';
import { glassSeeds } from './glass-seeds.js';
import type { LeadEvidence } from './lead-evidence.js';
import type { Regions } from './region-labels.js';
import { wallCells } from './wall-cells.js';
import { joinWeakWalls, STRICT_JOINING } from './wall-joining.js';

export type { Regions } from './region-labels.js';

/** Neck and inscribed radius, millimetres; found on the three open samples. */
const MIN_NECK_MM = 0.6;
const MIN_RADIUS_MM = 0.8;

export interface ReadRegions extends Regions {
  /** 1 on the cells before a wall of a second, stricter reading of the same parts. */
  readonly strictWalls: Uint8Array;
}

export function regions(evidence: LeadEvidence): ReadRegions {
  const { cellsPerMm } = evidence;
  const { width, height } = evidence.face;
  const n = width * height;
  const isGlass = new Uint8Array(n);
  for (let i = 0; i < n; i++) isGlass[i] = evidence.face.data[i]! < 0.45 ? 1 : 0;
  const { seeds, count } = glassSeeds(
    isGlass,
    width,
    height,
    MIN_NECK_MM * cellsPerMm,
    MIN_RADIUS_MM * cellsPerMm,
  );
  const landscape = new Uint8Array(n);
  for (let i = 0; i < n; i++) {
    landscape[i] = 255 * Math.min(1, 0.7 * evidence.centre.data[i]! + 0.3 * evidence.face.data[i]!);
  }
  const fine = watershed(landscape, seeds, width, height);
  const strict = joinWeakWalls(fine, count, evidence, STRICT_JOINING);
  return {
    ...joinWeakWalls(fine, count, evidence),
    strictWalls: wallCells(strict.labels, width, height),
  };
}
