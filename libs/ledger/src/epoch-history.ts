/**
 * What the log of a later epoch tells of the epochs before it, read from its own `log.epoch` entries:
 * at which size and root the one before closed, which checkpoint was known beyond it, what is lost.
 */
import { base64Of } from './bytes.js';
import type { JsonValue } from './canonical.js';
import { parseCheckpoint } from './checkpoint.js';
import { type EpochPayload, epochPayloadSchema, LOG_EPOCH } from './epoch.js';
import { isLaterEpoch, parseOrigin } from './origin.js';
import { parseNote } from './signed-note.js';

/** One `log.epoch` entry. */
export interface ToldEpoch {
  readonly seq: number;
  /** RFC 3339 */
  readonly recordedAt: string;
  readonly payload: EpochPayload;
}

export class EpochHistory {
  readonly #told: ToldEpoch[] = [];
  readonly #epoch: number;

  /** @param origin origin line of the log */
  constructor(private readonly origin: string) {
    this.#epoch = parseOrigin(origin)?.epoch ?? 1;
  }

  /** In the order of their entries; the first opened the epoch, later ones tell of losses that became known after. */
  get told(): readonly ToldEpoch[] {
    return this.#told;
  }

  /**
   * The next entry of the log; others than those about epochs are passed over.
   * @returns what is wrong with it, or undefined
   */
  add(entry: {
    seq: number;
    type: string;
    recordedAt: string;
    payload: JsonValue;
  }): string | undefined {
    const { seq, recordedAt } = entry;
    if (entry.type !== LOG_EPOCH) {
      return seq === 0 && this.#epoch > 1
        ? `entry 0 does not say at which entry the epoch before closed, as the first of epoch ${this.#epoch} must`
        : undefined;
    }
    const read = epochPayloadSchema.safeParse(entry.payload);
    if (!read.success) return `entry ${seq} opens an epoch without saying what was lost`;
    const problem = this.#problem(seq, read.data);
    if (problem !== undefined) return `entry ${seq} ${problem}`;
    this.#told.push({ seq, recordedAt, payload: read.data });
    return undefined;
  }

  #problem(seq: number, { before, known, lost }: EpochPayload): string | undefined {
    if (!isLaterEpoch(this.origin, before.origin) || !isLaterEpoch(this.origin, known.origin)) {
      return `tells of a log that is no earlier epoch of this one`;
    }
    if (seq === 0 && parseOrigin(before.origin)!.epoch !== this.#epoch - 1) {
      return `leaves out an epoch: it goes on from ${before.origin}`;
    }
    if (lost.to !== known.size || lost.from > lost.to) {
      return `says that entries ${lost.from} to ${lost.to - 1} are lost, beside a checkpoint over ${known.size}`;
    }
    try {
      const head = parseCheckpoint(parseNote(known.note).text);
      const isSaid =
        head.origin === known.origin &&
        head.size === known.size &&
        base64Of(head.root) === known.rootHash;
      return isSaid ? undefined : 'says other than the checkpoint that it rests on';
    } catch {
      return 'rests on a checkpoint that cannot be read';
    }
  }
}

/**
 * Whether a checkpoint over `size` entries of a log is one of those that are lost by what a later epoch
 * tells: it was rightly handed out, and need not fit the log any more.
 */
export function isToldLost(
  told: readonly ToldEpoch[],
  { origin, size }: { origin: string; size: number },
): boolean {
  return told.some(
    ({ payload: { known, lost } }) =>
      known.origin === origin && size <= known.size && (size > lost.from || lost.from === lost.to),
  );
}
