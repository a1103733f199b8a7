import { bestFirst } from './best-first.js';
import { heart, SURE_NATS } from './certainty.js';
import { findShard } from './find-shard.js';
import { type Frame, fitFrame, frameNats, type LyingFace, makeFrame } from './frame.js';
import { estimateGapMm, USUAL_GAP_MM } from './gap.js';
import { type JoinTerms, pairKey } from './join.js';
import { weighedJoints } from './joints.js';
import { faceOf, heldShare, type Layout, largestGroup, looseLayout } from './layout.js';
import { type Candidate, type PairOptions, PairSearch, resettled } from './pair-candidates.js';
import { composeTurns, type Pose, STILL, type Turn, turnOf } from './pose.js';
import { settleGroup } from './settle.js';
import { makeShard, type Shard } from './shard-face.js';
import { ShardError, type ShardPicture } from './shard-picture.js';
import { type Assembly, tellAssembly } from './tell-assembly.js';
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
  /** Told now and then: about what share of the work is done, 0 to 1. */
  readonly progress?: (ratio: number) => void;
}

/** Comparing all pairs is about so much of the work. */
const PAIRS_RATIO = 0.6;
/** … and with a first assembly so much. */
const OPENED_RATIO = 0.8;
const OTHER_GAPS_MM = [0.38, 0.12];
/** Share of the glass in one group from which other gaps are not tried. */
const MOSTLY_HELD = 0.97;
const ALMOST = 0.97;
const GAP_CHANGED_MM = 0.02;
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
  readonly #held: ReadonlySet<number>;

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
    this.#held = new Set(this.#locked.keys());
  }

  run(): Assembly {
    let { gapMm, candidates, l } = this.#opened();
    this.#options.progress?.(OPENED_RATIO);
    const found = this.#gap(l, gapMm);
    if (found !== null && Math.abs(found - gapMm) > GAP_CHANGED_MM) {
      const again = resettled(this.#shards, candidates, this.#pairOptions(found));
      const next = this.#assembled(again, found, null);
      if (heldShare(next) > ALMOST * heldShare(l)) [gapMm, candidates, l] = [found, again, next];
    }
    let group = largestGroup(l);
    let inFrame = this.#frameTurn(l, group, gapMm);
    if (inFrame !== null && this.#frame !== null) {
      // again, with the part that is sure lying in the frame from the start
      l = this.#assembled(candidates, gapMm, {
        from: l,
        kept: this.#heart(l, group, gapMm),
        turn: inFrame,
      });
      group = largestGroup(l);
      inFrame = STILL;
    }
    settleGroup(l, group, gapMm, FINAL_ROUNDS, this.#held);
    return tellAssembly(
      { l, group, gapMm, inFrame, candidates },
      {
        tones: this.#tones,
        apart: this.#apart,
        held: this.#held,
        outlineMm: this.#options.outlineMm,
      },
    );
  }

  /** A first assembly at the usual gap; when that leaves much apart, at a wider and a narrower one too. */
  #opened(): { gapMm: number; candidates: Candidate[]; l: Layout } {
    const first = this.#candidates(USUAL_GAP_MM);
    let best = {
      gapMm: USUAL_GAP_MM,
      candidates: first,
      l: this.#assembled(first, USUAL_GAP_MM, null),
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
      this.#options.progress?.(PAIRS_RATIO * ((a + 1) / this.#shards.length));
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
    const hasFrame = frame !== null && (framed !== null || this.#held.size > 0);
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
    bestFirst(l, candidates, terms, this.#held, new Set(held.keys()));
    return l;
  }

  #gap(l: Layout, gapMm: number): number | null {
    const group = largestGroup(l);
    const sure = this.#heart(l, group, gapMm);
    const part: Layout = {
      ...l,
      members: l.members.map((m, g) => (g === group ? m.filter((i) => sure.has(i)) : m)),
    };
    return estimateGapMm(part, group) ?? estimateGapMm(l, group);
  }

  #heart(l: Layout, group: number, gapMm: number): ReadonlySet<number> {
    const joints = weighedJoints(l, group, gapMm, this.#tones);
    const sure = heart(l.members[group]!, joints, SURE_NATS, this.#held);
    return sure.size > 0 ? sure : new Set(l.members[group]);
  }

  /** How the sure part lies in the outline; null without one, or when it could lie in several ways. */
  #frameTurn(l: Layout, group: number, gapMm: number): Turn | null {
    if (this.#frame === null) return null;
    if (this.#held.size > 0) return STILL;
    const fit = fitFrame(this.#frame, lyingFaces(l, [...this.#heart(l, group, gapMm)]));
    return fit.nats >= FRAME_LEAST_NATS && fit.nats - fit.nextNats >= FRAME_LEAD_NATS
      ? fit.turn
      : null;
  }
}

const lyingFaces = (l: Layout, members: readonly number[]): LyingFace[] =>
  members.map((i) => ({ face: faceOf(l, i), turn: l.turn[i]! }));
