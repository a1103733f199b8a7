import { bestFirst } from './best-first.js';
import { bondLines } from './bond-lines.js';
import { type Certainty, certainties, heart } from './certainty.js';
import { findShard } from './find-shard.js';
import { type Frame, fitFrame, frameNats, type LyingFace, makeFrame } from './frame.js';
import { estimateGapMm } from './gap.js';
import { type JoinTerms, pairKey } from './join.js';
import { weighedJoints } from './joints.js';
import { faceOf, type Layout, looseLayout } from './layout.js';
import { coveredShare, enclosedParts, type MissingPart, missingParts } from './missing.js';
import { nextPlaces } from './next-places.js';
import { type Candidate, type PairOptions, PairSearch, resettled } from './pair-candidates.js';
import { composeTurns, inverseTurn, type Pose, poseOf, type Turn, turnOf } from './pose.js';
import { settleGroup } from './settle.js';
import { makeShard, type Shard } from './shard-face.js';
import { ShardError, type ShardPicture } from './shard-picture.js';
import { ToneModel } from './tone-model.js';

type Xy = readonly [number, number];

export interface AssemblyOptions {
  /** Some pictures may show the other face. */
  readonly isEitherFace?: boolean;
  /** The piece's outline in millimetres of its panel; the answer is in the same frame when the shards fit it. */
  readonly outlineMm?: readonly Xy[];
  /** Shards that a person placed: they stay where they lie (in the outline's frame). */
  readonly locked?: readonly { readonly shardId: string; readonly pose: Pose }[];
  /** Pairs that a person said do not touch. */
  readonly apart?: readonly (readonly [string, string])[];
}

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

const STILL: Turn = { cos: 1, sin: 0, x: 0, y: 0 };
const START_GAP_MM = 0.22;
const OTHER_GAPS_MM = [0.38, 0.12];
/** Share of the glass in one group from which other gaps are not tried. */
const MOSTLY_HELD = 0.97;
const ALMOST = 0.97;
const GAP_CHANGED_MM = 0.02;
const SURE_NATS = 35;
const FRAME_LEAST_NATS = 8;
const FRAME_LEAD_NATS = 6;
const FINAL_ROUNDS = 6;

/** One shard out of its picture, ready for {@link proposeAssembly}. @throws ShardError */
export function readShard(picture: ShardPicture): Shard {
  return makeShard(picture.shardId, findShard(picture), picture.pxPerMm);
}

/**
 * Proposes how shards lie together: best-founded joints first, everything weighed again against the whole after each,
 * the joints' opening found from the whole, and the outline as a frame. It proposes; nothing is asserted beyond its certainty.
 * @throws ShardError when a locked or parted shard is not among those given
 */
export function proposeAssembly(shards: readonly Shard[], options: AssemblyOptions = {}): Assembly {
  const search = new Search(shards, options);
  return search.run();
}

class Search {
  readonly #shards: readonly Shard[];
  readonly #options: AssemblyOptions;
  readonly #tones: ToneModel;
  readonly #frame: Frame | null;
  readonly #apart: ReadonlySet<string>;
  readonly #locked = new Map<number, Pose>();

  constructor(shards: readonly Shard[], options: AssemblyOptions) {
    this.#shards = shards;
    this.#options = options;
    this.#tones = new ToneModel(shards.map((s) => s.faces[0].tone));
    this.#frame = options.outlineMm ? makeFrame(options.outlineMm) : null;
    this.#apart = new Set(
      (options.apart ?? []).map(([a, b]) => pairKey(this.#index(a), this.#index(b))),
    );
    for (const { shardId, pose } of options.locked ?? [])
      this.#locked.set(this.#index(shardId), pose);
  }

  run(): Assembly {
    let { gapMm, candidates, l } = this.#opened();
    const found = this.#gap(l, gapMm);
    if (found !== null && Math.abs(found - gapMm) > GAP_CHANGED_MM) {
      const again = resettled(this.#shards, candidates, this.#pairOptions(found));
      const next = this.#assembled(again, found, null);
      if (heldShare(next) > ALMOST * heldShare(l)) [gapMm, candidates, l] = [found, again, next];
    }
    let group = largest(l);
    let inFrame = this.#frameTurn(l, group, gapMm);
    if (inFrame !== null && this.#frame !== null) {
      // again, with the part that is sure lying in the frame from the start
      l = this.#assembled(candidates, gapMm, {
        from: l,
        kept: this.#heart(l, group, gapMm),
        turn: inFrame,
      });
      group = largest(l);
      inFrame = STILL;
    }
    settleGroup(l, group, gapMm, FINAL_ROUNDS, new Set(this.#locked.keys()));
    return this.#answer(l, group, gapMm, inFrame, candidates);
  }

  /** A first assembly at the usual gap; when that leaves much apart, at a wider and a narrower one too. */
  #opened(): { gapMm: number; candidates: Candidate[]; l: Layout } {
    const first = this.#candidates(START_GAP_MM);
    let best = {
      gapMm: START_GAP_MM,
      candidates: first,
      l: this.#assembled(first, START_GAP_MM, null),
    };
    if (heldShare(best.l) > MOSTLY_HELD) return best;
    for (const gapMm of OTHER_GAPS_MM) {
      const candidates = resettled(this.#shards, first, this.#pairOptions(gapMm));
      const l = this.#assembled(candidates, gapMm, null);
      if (heldShare(l) > heldShare(best.l)) best = { gapMm, candidates, l };
    }
    return best;
  }

  #index(shardId: string): number {
    const i = this.#shards.findIndex((s) => s.shardId === shardId);
    if (i < 0) throw new ShardError('frame', `Shard ${shardId} is not in this tray.`, shardId);
    return i;
  }

  #pairOptions(gapMm: number): PairOptions {
    return { gapMm, tones: this.#tones, isEitherFace: this.#options.isEitherFace ?? false };
  }

  #candidates(gapMm: number): Candidate[] {
    const options = this.#pairOptions(gapMm);
    const search = new PairSearch(this.#shards, options.isEitherFace);
    const out: Candidate[] = [];
    for (let a = 0; a < this.#shards.length; a++) {
      for (let b = a + 1; b < this.#shards.length; b++) {
        if (!this.#apart.has(pairKey(a, b))) out.push(...search.candidates(a, b, options));
      }
    }
    return out;
  }

  #assembled(
    candidates: readonly Candidate[],
    gapMm: number,
    framed: { from: Layout; kept: ReadonlySet<number>; turn: Turn } | null,
  ): Layout {
    const l = looseLayout(this.#shards);
    const held = new Map<number, { side: 0 | 1; turn: Turn }>();
    if (framed !== null) {
      for (const i of framed.kept) {
        held.set(i, {
          side: framed.from.side[i]!,
          turn: composeTurns(framed.turn, framed.from.turn[i]!),
        });
      }
    }
    for (const [i, pose] of this.#locked) held.set(i, { side: pose.side, turn: turnOf(pose) });
    const first = [...held.keys()][0];
    if (first !== undefined) {
      for (const [i, { side, turn }] of held) {
        l.side[i] = side;
        l.turn[i] = turn;
        l.groupOf[i] = first;
        l.members[i] = [];
      }
      l.members[first] = [...held.keys()];
    }
    const frame = this.#frame;
    const hasFrame = frame !== null && (framed !== null || this.#locked.size > 0);
    const terms: JoinTerms = {
      gapMm,
      tones: this.#tones,
      apart: this.#apart,
      frameNats: hasFrame
        ? (guests, group) =>
            first !== undefined && l.groupOf[first] === group
              ? frameNats(
                  frame,
                  guests.map((g) => ({ face: this.#shards[g.index]!.faces[g.side], turn: g.turn })),
                )
              : 0
        : null,
    };
    bestFirst(l, candidates, terms, new Set(this.#locked.keys()), new Set(held.keys()));
    return l;
  }

  #gap(l: Layout, gapMm: number): number | null {
    const group = largest(l);
    const sure = this.#heart(l, group, gapMm);
    const part: Layout = {
      ...l,
      members: l.members.map((m, g) => (g === group ? m.filter((i) => sure.has(i)) : m)),
    };
    return estimateGapMm(part, group) ?? estimateGapMm(l, group);
  }

  #heart(l: Layout, group: number, gapMm: number): ReadonlySet<number> {
    const joints = weighedJoints(l, group, gapMm, this.#tones);
    const sure = heart(l.members[group]!, joints, SURE_NATS, new Set(this.#locked.keys()));
    return sure.size > 0 ? sure : new Set(l.members[group]);
  }

  /** How the sure part lies in the outline; null without one, or when it could lie in several ways. */
  #frameTurn(l: Layout, group: number, gapMm: number): Turn | null {
    if (this.#frame === null) return null;
    if (this.#locked.size > 0) return STILL;
    const fit = fitFrame(this.#frame, lyingFaces(l, [...this.#heart(l, group, gapMm)]));
    return fit.nats >= FRAME_LEAST_NATS && fit.nats - fit.nextNats >= FRAME_LEAD_NATS
      ? fit.turn
      : null;
  }

  #answer(
    l: Layout,
    group: number,
    gapMm: number,
    inFrame: Turn | null,
    candidates: readonly Candidate[],
  ): Assembly {
    const members = l.members[group]!.length > 1 || this.#locked.size > 0 ? l.members[group]! : [];
    const joints = weighedJoints(l, group, gapMm, this.#tones);
    const held = new Set(this.#locked.keys());
    const sure = certainties(members, joints, held);
    // what a person placed says where the frame is
    const isSaid = this.#locked.size > 0;
    const common = inFrame ?? (isSaid ? STILL : firstAtOrigin(l, members));
    const placeOf = (side: 0 | 1, turn: Turn): Pose => poseOf(side, composeTurns(common, turn));
    const lying = new Map(
      members.map((i) => [i, { face: faceOf(l, i), turn: composeTurns(common, l.turn[i]!) }]),
    );
    const others = nextPlaces(l, members, sure, candidates, {
      gapMm,
      tones: this.#tones,
      apart: this.#apart,
      frameNats: null,
    });
    const outline = this.#options.outlineMm;
    const rings = [...lying.values()].map(ringOf);
    const missing =
      outline && inFrame !== null
        ? missingParts(
            outline.map(([x, y]) => [x, y]),
            rings,
            gapMm,
          )
        : enclosedParts(rings, gapMm);
    return {
      gapMm,
      placed: members.map((i) => ({
        shardId: this.#shards[i]!.shardId,
        pose: placeOf(l.side[i]!, l.turn[i]!),
        certainty: sure.get(i)!,
        isLocked: held.has(i),
        otherPlaces: (others.get(i) ?? []).map(({ side, turn, nats }) => ({
          pose: placeOf(side, turn),
          nats,
        })),
      })),
      loose: this.#shards.filter((_, i) => !members.includes(i)).map((s) => s.shardId),
      joints: joints
        .filter((j) => j.nats > 0)
        .map((j) => ({
          a: this.#shards[j.a]!.shardId,
          b: this.#shards[j.b]!.shardId,
          lengthMm: j.lengthMm,
          nats: j.nats,
          linesMm: bondLines(lying.get(j.a)!, lying.get(j.b)!, gapMm),
        })),
      isInOutline: inFrame !== null,
      missing,
      coverageRatio:
        outline && inFrame !== null
          ? coveredShare(
              outline.map(([x, y]) => [x, y]),
              missing,
            )
          : null,
    };
  }
}

const lyingFaces = (l: Layout, members: readonly number[]): LyingFace[] =>
  members.map((i) => ({ face: faceOf(l, i), turn: l.turn[i]! }));

function ringOf({ face: { ring }, turn }: LyingFace): [number, number][] {
  return Array.from({ length: ring.length / 2 }, (_, m) => [
    turn.cos * ring[2 * m]! - turn.sin * ring[2 * m + 1]! + turn.x,
    turn.sin * ring[2 * m]! + turn.cos * ring[2 * m + 1]! + turn.y,
  ]);
}

/** Share of the glass that lies in the largest group. */
function heldShare(l: Layout): number {
  const area = (members: readonly number[]): number =>
    members.reduce((s, i) => s + l.shards[i]!.areaMm2, 0);
  return area(l.members[largest(l)]!) / l.shards.reduce((s, shard) => s + shard.areaMm2, 0);
}

/** The group with the most glass. */
function largest(l: Layout): number {
  const area = (g: number): number => l.members[g]!.reduce((s, i) => s + l.shards[i]!.areaMm2, 0);
  let best = 0;
  for (let g = 1; g < l.members.length; g++) if (area(g) > area(best)) best = g;
  return best;
}

/** Without an outline the first member's picture gives the frame. */
function firstAtOrigin(l: Layout, members: readonly number[]): Turn {
  const first = members[0];
  return first === undefined ? STILL : inverseTurn(l.turn[first]!);
}
