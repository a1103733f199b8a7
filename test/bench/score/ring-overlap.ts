/** Areas of polygons and of their overlaps, mm². Rings that cross themselves count as the area they cover. */
import { Clipper, FillRule, type PathD, type PathsD } from 'clipper2-ts';
import type { Xy } from './score-math.js';

/** Decimals of a millimetre kept by the clipping. */
const PRECISION = 5;

export interface Region {
  paths: PathsD;
  area: number;
  box: [number, number, number, number];
}

export function region(ring: readonly Xy[]): Region {
  const path: PathD = ring.map(([x, y]) => ({ x, y }));
  return fromPaths(Clipper.unionD([path], [], FillRule.NonZero, PRECISION));
}

export function unionOf(regions: readonly Region[]): Region {
  return fromPaths(
    Clipper.unionD(
      regions.flatMap((r) => r.paths),
      [],
      FillRule.NonZero,
      PRECISION,
    ),
  );
}

export function overlapArea(a: Region, b: Region): number {
  if (a.box[0] > b.box[2] || a.box[2] < b.box[0] || a.box[1] > b.box[3] || a.box[3] < b.box[1])
    return 0;
  return Math.abs(
    Clipper.areaPathsD(Clipper.intersectD(a.paths, b.paths, FillRule.NonZero, PRECISION)),
  );
}

function fromPaths(paths: PathsD): Region {
  const box: Region['box'] = [Infinity, Infinity, -Infinity, -Infinity];
  for (const path of paths) {
    for (const { x, y } of path) {
      box[0] = Math.min(box[0], x);
      box[1] = Math.min(box[1], y);
      box[2] = Math.max(box[2], x);
      box[3] = Math.max(box[3], y);
    }
  }
  return { paths, area: Math.abs(Clipper.areaPathsD(paths)), box };
}
