/** What shards say as they lie, whoever laid them there: joints, overlaps, what is missing. */
import {
  type BoundsMm,
  boundsMm,
  intersectRings,
  polylineLengthMm,
  ringsAreaMm2,
  simplifyLine,
  simplifyRing,
} from '#libs/net';
import { bondLines, type LyingEdge } from './bond-lines.js';
import { distanceField } from './distance-field.js';
import { coveredShare, enclosedParts, type MissingPart, missingParts } from './missing.js';
import { type Pose, turnOf } from './pose.js';
import { mirroredRing, ringNormals, turnedRing } from './ring-points.js';
import type { Shard, ShardFace } from './shard-face.js';

type Xy = readonly [number, number];
type Edge = Pick<ShardFace, 'ring' | 'normals' | 'field'>;

/** A shard's edge as it was photographed and mirrored, ready to be laid anywhere. */
export interface ShardEdge {
  readonly shardId: string;
  readonly sides: readonly [Edge, Edge];
}

export interface LaidShard {
  readonly edge: ShardEdge;
  readonly pose: Pose;
}

export interface LaidJoint {
  readonly a: string;
  readonly b: string;
  readonly lengthMm: number;
  readonly linesMm: readonly (readonly Xy[])[];
}

export interface LaidShards {
  readonly joints: readonly LaidJoint[];
  /** Pairs that lie over one another by more than chance. */
  readonly overlaps: readonly {
    readonly a: string;
    readonly b: string;
    readonly areaMm2: number;
  }[];
  readonly missing: readonly MissingPart[];
  /** Share of the outline that is covered; null without an outline. */
  readonly coverageRatio: number | null;
}

const LEAST_JOINT_MM = 2;
/** A joint's line is told to so much. */
const LINE_MM = 0.05;
const RING_MM = 0.05;
const LEAST_OVERLAP_MM2 = 4;

/** @param ringMm flat ring of positive area, half a millimetre a step, millimetres of the picture ({@link shardRing}) */
export function shardEdge(shardId: string, ringMm: ArrayLike<number>): ShardEdge {
  const ring = Float64Array.from(ringMm);
  const side = (one: Float64Array): Edge => ({
    ring: one,
    normals: ringNormals(one, 1),
    field: distanceField(one),
  });
  return { shardId, sides: [side(ring), side(mirroredRing(ring))] };
}

/** The edge of a shard as it was photographed: flat, to a hundredth of a millimetre. */
export function shardRing(shard: Shard): number[] {
  return Array.from(shard.faces[0].ring, (value) => Math.round(value * 100) / 100);
}

/** The edge of a laid shard, millimetres of the common frame. */
export const laidRing = ({ edge, pose }: LaidShard): [number, number][] =>
  turnedRing(edge.sides[pose.side].ring, turnOf(pose));

/**
 * Joints where edges lie along one another, shards that lie over one another, and what the outline holds beside them.
 * @param gapMm how far joints stay open
 * @param outlineMm in the frame of the poses; null: what the shards enclose counts as missing
 */
export function tellLaid(
  laid: readonly LaidShard[],
  gapMm: number,
  outlineMm: readonly Xy[] | null,
): LaidShards {
  // half-millimetre steps say no more of areas than the corners among them, at a tenth of the work
  const rings = laid.map((one) => simplifyRing(laidRing(one), RING_MM));
  const boxes = rings.map(boundsMm);
  const joints: LaidJoint[] = [];
  const overlaps: { a: string; b: string; areaMm2: number }[] = [];
  for (const [j, later] of laid.entries()) {
    for (const [i, first] of laid.slice(0, j).entries()) {
      if (!isNear(boxes[i]!, boxes[j]!)) continue;
      const [a, b] = [first.edge.shardId, later.edge.shardId];
      const linesMm = bondLines(lying(first), lying(later), gapMm);
      const lengthMm = linesMm.reduce((sum, line) => sum + polylineLengthMm(line), 0);
      if (lengthMm >= LEAST_JOINT_MM) {
        joints.push({
          a,
          b,
          lengthMm,
          linesMm: linesMm.map((line) => simplifyLine(line, LINE_MM)),
        });
      }
      const areaMm2 = Math.abs(ringsAreaMm2(intersectRings([rings[i]!], [rings[j]!])));
      if (areaMm2 >= LEAST_OVERLAP_MM2) overlaps.push({ a, b, areaMm2 });
    }
  }
  const missing = outlineMm ? missingParts(outlineMm, rings, gapMm) : enclosedParts(rings, gapMm);
  return {
    joints,
    overlaps,
    missing,
    coverageRatio: outlineMm ? coveredShare(outlineMm, missing) : null,
  };
}

const lying = ({ edge, pose }: LaidShard): LyingEdge => ({
  face: edge.sides[pose.side],
  turn: turnOf(pose),
});

const NEAR_MM = 3;

const isNear = (a: BoundsMm, b: BoundsMm): boolean =>
  a.minX <= b.maxX + NEAR_MM &&
  b.minX <= a.maxX + NEAR_MM &&
  a.minY <= b.maxY + NEAR_MM &&
  b.minY <= a.maxY + NEAR_MM;
