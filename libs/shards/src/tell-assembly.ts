/** What the search found, told in the names and the frame of whoever asked. */
import { bondLines } from './bond-lines.js';
import { type Certainty, certainties } from './certainty.js';
import { weighedJoints } from './joints.js';
import { faceOf, type Layout } from './layout.js';
import { coveredShare, enclosedParts, type MissingPart, missingParts } from './missing.js';
import { nextPlaces } from './next-places.js';
import type { Candidate } from './pair-candidates.js';
import { composeTurns, inverseTurn, type Pose, poseOf, STILL, type Turn } from './pose.js';
import { turnedRing } from './ring-points.js';
import type { ToneModel } from './tone-model.js';

type Xy = readonly [number, number];

export interface PlacedShard {
  readonly shardId: string;
  /** Takes millimetres of its picture into the common frame. */
  readonly pose: Pose;
  readonly certainty: Certainty;
  readonly isLocked: boolean;
  /** Other places that the edges allow, best first; none for what is sure. */
  readonly otherPlaces: readonly { readonly pose: Pose; readonly nats: number }[];
}

export interface Joint {
  readonly a: string;
  readonly b: string;
  readonly lengthMm: number;
  readonly nats: number;
  readonly linesMm: readonly (readonly Xy[])[];
}

export interface Assembly {
  /** How far the joints stay open: what each edge lost, and what the photograph eats. */
  readonly gapMm: number;
  readonly placed: readonly PlacedShard[];
  /** Ids of shards for which no place is proposed. */
  readonly loose: readonly string[];
  readonly joints: readonly Joint[];
  /** Whether the common frame is the outline's. */
  readonly isInOutline: boolean;
  /** Parts of the outline without glass; when the shards were not fitted into one, what they enclose. */
  readonly missing: readonly MissingPart[];
  /** Share of the outline that is covered; null without an outline. */
  readonly coverageRatio: number | null;
}

export interface FoundLayout {
  readonly l: Layout;
  /** The group that is proposed. */
  readonly group: number;
  readonly gapMm: number;
  /** How the group's frame lies in the outline's; null: not fitted. */
  readonly inFrame: Turn | null;
  readonly candidates: readonly Candidate[];
}

export interface Asked {
  readonly tones: ToneModel;
  readonly apart: ReadonlySet<string>;
  /** Shards that a person placed. */
  readonly held: ReadonlySet<number>;
  readonly outlineMm: readonly Xy[] | undefined;
}

/** A single shard by itself is loose unless a person placed it. */
export function tellAssembly(
  { l, group, gapMm, inFrame, candidates }: FoundLayout,
  { tones, apart, held, outlineMm }: Asked,
): Assembly {
  // what a person placed says where the frame is
  const isSaid = held.size > 0;
  const members = l.members[group]!.length > 1 || isSaid ? l.members[group]! : [];
  const joints = weighedJoints(l, group, gapMm, tones);
  const sure = certainties(members, joints, held);
  const common = inFrame ?? (isSaid ? STILL : firstAtOrigin(l, members));
  const placeOf = (side: 0 | 1, turn: Turn): Pose => poseOf(side, composeTurns(common, turn));
  const lying = new Map(
    members.map((i) => [i, { face: faceOf(l, i), turn: composeTurns(common, l.turn[i]!) }]),
  );
  const terms = { gapMm, tones, apart, frameNats: null };
  const others = nextPlaces(l, members, sure, candidates, terms);
  const rings = [...lying.values()].map(({ face, turn }) => turnedRing(face.ring, turn));
  const outline = inFrame === null ? undefined : outlineMm;
  const missing = outline ? missingParts(outline, rings, gapMm) : enclosedParts(rings, gapMm);
  const idOf = (i: number): string => l.shards[i]!.shardId;
  return {
    gapMm,
    placed: members.map((i) => ({
      shardId: idOf(i),
      pose: placeOf(l.side[i]!, l.turn[i]!),
      certainty: sure.get(i)!,
      isLocked: held.has(i),
      otherPlaces: (others.get(i) ?? []).map(({ side, turn, nats }) => ({
        pose: placeOf(side, turn),
        nats,
      })),
    })),
    loose: l.shards.filter((_, i) => !members.includes(i)).map((s) => s.shardId),
    joints: joints
      .filter((j) => j.nats > 0)
      .map((j) => ({
        a: idOf(j.a),
        b: idOf(j.b),
        lengthMm: j.lengthMm,
        nats: j.nats,
        linesMm: bondLines(lying.get(j.a)!, lying.get(j.b)!, gapMm),
      })),
    isInOutline: inFrame !== null,
    missing,
    coverageRatio: outline ? coveredShare(outline, missing) : null,
  };
}

/** Without an outline the first member's picture gives the frame. */
function firstAtOrigin(l: Layout, members: readonly number[]): Turn {
  const first = members[0];
  return first === undefined ? STILL : inverseTurn(l.turn[first]!);
}
