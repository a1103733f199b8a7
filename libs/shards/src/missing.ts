import {
  brushedRings,
  isInsideRing,
  ringAreaMm2,
  ringsAreaMm2,
  subtractRings,
  unionRings,
  type XyMm,
} from '#libs/net';

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
  const open = subtractRings([outline], grown(shards, gapMm / 2 + 0.05));
  // opened: shrunk by the sliver's half width, then grown again
  const shrunk = subtractRings(open, brushed(open, SLIVER_MM));
  return partsOf(grown(shrunk, SLIVER_MM)).filter((p) => p.areaMm2 >= LEAST_MM2);
}

/** Without an outline: what the shards enclose on all sides. */
export function enclosedParts(shards: readonly (readonly XyMm[])[], gapMm: number): MissingPart[] {
  return grown(shards, gapMm / 2 + 0.05)
    .filter((ring) => ringAreaMm2(ring) < 0)
    .flatMap((hole) => missingParts([...hole].reverse(), [], 0));
}

/** Area of the outline that shards lie on, joints counted as covered. */
export function coveredShare(outline: readonly XyMm[], missing: readonly MissingPart[]): number {
  const whole = Math.abs(ringAreaMm2(outline));
  return Math.max(0, Math.min(1, 1 - missing.reduce((s, p) => s + p.areaMm2, 0) / whole));
}

const brushed = (rings: readonly (readonly XyMm[])[], radiusMm: number): XyMm[][] =>
  rings.flatMap((ring) => brushedRings([...ring, ring[0]!], 2 * radiusMm));

/** Widened all round; holes become smaller. */
const grown = (rings: readonly (readonly XyMm[])[], radiusMm: number): XyMm[][] =>
  unionRings([...rings, ...brushed(rings, radiusMm)]);

/** Each outer ring with the holes that lie in it. */
function partsOf(rings: readonly (readonly XyMm[])[]): MissingPart[] {
  const outers = rings.filter((ring) => ringAreaMm2(ring) > 0);
  const holes = rings.filter((ring) => ringAreaMm2(ring) < 0);
  // an island in a hole is a part of its own: a hole belongs to the smallest ring round it
  const ownerOf = (hole: readonly XyMm[]) =>
    outers
      .filter((outer) => isInsideRing(hole[0]!, outer))
      .sort((a, b) => ringAreaMm2(a) - ringAreaMm2(b))[0];
  const owners = holes.map(ownerOf);
  return outers.map((outer) => {
    const ringsMm = [outer, ...holes.filter((_, i) => owners[i] === outer)];
    return { ringsMm, areaMm2: ringsAreaMm2(ringsMm) };
  });
}
