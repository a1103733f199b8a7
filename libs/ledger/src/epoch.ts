/**
 * Epochs of a log. A restore older than a checkpoint that somebody holds never forks a log: the log
 * closes, and the next epoch of it opens with an origin of its own; its first entry names what was lost.
 */
import { z } from 'zod';

/** Type of the first entry of an epoch, and of one that tells of a loss that became known later. */
export const LOG_EPOCH = 'log.epoch';

/** No log grows that far, and 8191 epochs of it stay whole numbers below 2^53. */
const EPOCH_STEP = 2 ** 40;

/**
 * Place of an entry in the history of a site (or of the studio) over all its epochs: one number that
 * only grows, so that a version somebody holds from before a restore never names another one after it.
 * In the first epoch it is the number of the entry.
 */
export function placeInHistory(epoch: number, seq: number): number {
  return (epoch - 1) * EPOCH_STEP + seq;
}

/** @returns the epoch, from 1, and the number of the entry in its log */
export function readPlace(place: number): { epoch: number; seq: number } {
  return { epoch: Math.floor(place / EPOCH_STEP) + 1, seq: place % EPOCH_STEP };
}

const count = z.int().min(0);
const head = z.object({ origin: z.string(), size: count, rootHash: z.base64() });

export const epochPayloadSchema = z.object({
  /** the log of the epoch before, as it is here and closes */
  before: head,
  /** the checkpoint that somebody holds and that this log cannot reach */
  known: head.extend({ note: z.string() }),
  /** entries that were there and are not here: first number, and the number after the last */
  lost: z.object({ from: count, to: count }),
  /** who held it: the object store, a person who gave it, a browser or phone */
  heldBy: z.enum(['store', 'given', 'client']),
  /** the generation of the backup that was restored; null for a database set back otherwise */
  restored: z.string().nullable(),
});
export type EpochPayload = z.infer<typeof epochPayloadSchema>;

/** One sentence for people. */
export function epochSentence({ before, known, lost, restored }: EpochPayload): string {
  const back =
    restored === null ? 'The archive was set back' : 'The archive came back from a backup';
  return (
    `${back} to ${before.size} entries of ${before.origin}; a checkpoint over ${known.size} is known. ` +
    (lost.to > lost.from
      ? `Entries ${lost.from} to ${lost.to - 1} are lost.`
      : 'The two histories differ.')
  );
}
