import { brushedRings, ringsAreaMm2, subtractRings, unionRings, type XyMm } from '#libs/net';

/** A place of the piece that no shard covers. */
export interface MissingPart {
  /** Outer ring first, then holes. */
  readonly ringsMm: readonly (readonly XyMm[])[];
  readonly areaMm2: number;
}

/** Narrower than twice this is a joint or a chipped edge, no missing part. */
const SLIVER_MM = 1.2;
const LEAST_MM2 = 20;

/**
 * What the outline holds beside the shards: slivers along joints and edges left out, each part as a shape.
 * @param shards rings as they lie, millimetres of the outline's frame
 * @param gapMm how far joints stay open, taken as covered
 */
export function missingParts(
  outline: readonly XyMm[],
  shards: readonly (readonly XyMm[])[],
  gapMm: number,
): MissingPart[] {
  const covered = shards.length === 0 ? [] : unionRings(grown(shards, gapMm / 2 + 0.05));
  const open = subtractRings([outline], covered);
  // opened: shrunk by the sliver's half width, then grown again
  const shrunk = subtractRings(open, brushed(open, SLIVER_MM));
  return partsOf(grown(shrunk, SLIVER_MM)).filter((p) => p.areaMm2 >= LEAST_MM2);
}

/** Without an outline: what the shards enclose on all sides. */
export function enclosedParts(shards: readonly (readonly XyMm[])[], gapMm: number): MissingPart[] {
  const covered = unionRings(grown(shards, gapMm / 2 + 0.05));
  return covered
    .filter((ring) => ringsAreaMm2([ring]) < 0)
    .flatMap((hole) => missingParts([...hole].reverse(), [], 0));
}

/** Area of the outline that shards lie on, joints counted as covered. */
export function coveredShare(outline: readonly XyMm[], missing: readonly MissingPart[]): number {
  const whole = Math.abs(ringsAreaMm2([outline]));
  return Math.max(0, Math.min(1, 1 - missing.reduce((s, p) => s + p.areaMm2, 0) / whole));
}

const closedLine = (ring: readonly XyMm[]): XyMm[] => [...ring, ring[0]!];

const brushed = (rings: readonly (readonly XyMm[])[], radiusMm: number): XyMm[][] =>
  rings.flatMap((r) => brushedRings(closedLine(r), 2 * radiusMm));

function grown(rings: readonly (readonly XyMm[])[], radiusMm: number): XyMm[][] {
  if (rings.length === 0) return [];
  return rings.flatMap((r) => unionRings([r, ...brushedRings(closedLine(r), 2 * radiusMm)]));
}

/** Outer rings with the holes that lie in them. */
function partsOf(rings: readonly (readonly XyMm[])[]): MissingPart[] {
  return unionRings(rings)
    .filter((r) => ringsAreaMm2([r]) > 0)
    .map((r) => ({ ringsMm: [r], areaMm2: ringsAreaMm2([r]) }));
}
