import { addEvidence, noEvidence } from './evidence.js';
import { addFitSums, fitStep, makeFitSums } from './fit-sums.js';
import { roughOverlapMm2 } from './overlap.js';
import { inverseTurn, nudgedTurn, STILL, type Turn } from './pose.js';
import type { Shard, ShardFace } from './shard-face.js';
import type { ToneModel } from './tone-model.js';
import { makeWalk, type Walk, WindowMatcher } from './window-match.js';

/** One way in which two shards could have been joined. */
export interface Candidate {
  /** Indices of the shards; `turn` takes b's frame (its side `flip`) into a's (side 0). */
  readonly a: number;
  readonly b: number;
  readonly flip: 0 | 1;
  readonly turn: Turn;
  /** Nats of this pair by itself. */
  readonly nats: number;
}

const REACHES_MM = [1.2, 1.05, 0.9, 0.75, 0.62, 0.5, 0.4];
const ROUGH_OVERLAP_MM2 = 40;
const MOST_OVERLAP_MM2 = 6;
const LEAST_CONTACT_MM = 3;
const SAME_MM = 1;
const SAME_RAD = 0.06;
const KEPT_PER_PAIR = 8;
const LEAST_NATS = 3;

export interface PairOptions {
  readonly gapMm: number;
  readonly tones: ToneModel;
  /** Look for b turned over as well. */
  readonly isEitherFace: boolean;
}

/** Settles b's face on a's by points to edges, both ways. */
export function fitPair(
  a: ShardFace,
  b: ShardFace,
  start: Turn,
  gapMm: number,
  reachesMm: readonly number[] = REACHES_MM,
): Turn {
  let turn = start;
  const sums = makeFitSums();
  for (const reachMm of reachesMm) {
    sums.fill(0);
    const cx = turn.x;
    const cy = turn.y;
    addFitSums(sums, a, b, turn, STILL, cx, cy, gapMm, reachMm);
    addFitSums(sums, b, a, inverseTurn(turn), turn, cx, cy, gapMm, reachMm, -1);
    const step = fitStep(sums);
    if (step === null) return turn;
    turn = nudgedTurn(turn, cx, cy, ...step);
  }
  return turn;
}

/** All ways of joining two of the shards that are worth a look, best of each pair first. */
export class PairSearch {
  readonly #matcher = new WindowMatcher();
  readonly #forward: Walk[];
  readonly #backward: [Walk, Walk][][];
  readonly #shards: readonly Shard[];

  constructor(shards: readonly Shard[], isEitherFace: boolean) {
    this.#shards = shards;
    this.#forward = shards.map((s) => makeWalk(s.faces[0], 0, false));
    this.#backward = shards.map((s) =>
      s.faces
        .slice(0, isEitherFace ? 2 : 1)
        .map((f): [Walk, Walk] => [makeWalk(f, 0, true), makeWalk(f, 0.5, true)]),
    );
  }

  candidates(a: number, b: number, options: PairOptions): Candidate[] {
    const found: Candidate[] = [];
    for (const flip of options.isEitherFace ? ([0, 1] as const) : ([0] as const)) {
      const starts = this.#matcher.match(this.#forward[a]!, this.#backward[b]![flip]!);
      found.push(...settled(this.#shards, { a, b, flip }, starts, options));
    }
    return distinct(this.#shards, found).slice(0, KEPT_PER_PAIR);
  }
}

/** The same candidates at another gap: settled and judged again. */
export function resettled(
  shards: readonly Shard[],
  candidates: readonly Candidate[],
  options: PairOptions,
): Candidate[] {
  return candidates.flatMap((c) => settled(shards, c, [c.turn], options, REACHES_MM.slice(3)));
}

function settled(
  shards: readonly Shard[],
  { a, b, flip }: Pick<Candidate, 'a' | 'b' | 'flip'>,
  starts: readonly Turn[],
  { gapMm, tones }: PairOptions,
  reachesMm: readonly number[] = REACHES_MM,
): Candidate[] {
  const faceA = shards[a]!.faces[0];
  const faceB = shards[b]!.faces[flip];
  const found: Candidate[] = [];
  for (const start of unlike(shards, b, flip, starts)) {
    if (roughOverlapMm2(faceA, faceB, start) > ROUGH_OVERLAP_MM2) continue;
    const turn = fitPair(faceA, faceB, start, gapMm, reachesMm);
    const evidence = noEvidence();
    addEvidence(evidence, faceA, faceB, turn, gapMm, tones);
    if (evidence.overlapMm2 * 2 > MOST_OVERLAP_MM2) continue;
    addEvidence(evidence, faceB, faceA, inverseTurn(turn), gapMm, tones);
    if (evidence.overlapMm2 > MOST_OVERLAP_MM2 || evidence.lengthMm < LEAST_CONTACT_MM) continue;
    if (evidence.nats >= LEAST_NATS) found.push({ a, b, flip, turn, nats: evidence.nats });
  }
  return found;
}

/** Whether two turns put shard b at the same place. */
function isSame(shard: Shard, flip: 0 | 1, s: Turn, t: Turn): boolean {
  const cx = flip ? -shard.centreX : shard.centreX;
  const cy = shard.centreY;
  const dx = (s.cos - t.cos) * cx - (s.sin - t.sin) * cy + s.x - t.x;
  const dy = (s.sin - t.sin) * cx + (s.cos - t.cos) * cy + s.y - t.y;
  return (
    dx * dx + dy * dy < SAME_MM * SAME_MM &&
    Math.abs(s.sin * t.cos - s.cos * t.sin) < SAME_RAD &&
    s.cos * t.cos + s.sin * t.sin > 0
  );
}

function unlike(shards: readonly Shard[], b: number, flip: 0 | 1, turns: readonly Turn[]): Turn[] {
  const kept: Turn[] = [];
  for (const t of turns) if (!kept.some((k) => isSame(shards[b]!, flip, k, t))) kept.push(t);
  return kept;
}

function distinct(shards: readonly Shard[], found: readonly Candidate[]): Candidate[] {
  const kept: Candidate[] = [];
  for (const c of [...found].sort((p, q) => q.nats - p.nats)) {
    const isNew = !kept.some(
      (k) => k.flip === c.flip && isSame(shards[c.b]!, c.flip, k.turn, c.turn),
    );
    if (isNew) kept.push(c);
  }
  return kept;
}
