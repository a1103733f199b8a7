/**
 * Epochs of a log. A restore older than a checkpoint that somebody holds never forks a log: the log
 * closes, and the next epoch of it opens with an origin of its own; its first entry names what was lost.
 */
import * as z from 'zod/mini';
import { parseOrigin } from './origin.js';

/** Type of the first entry of an epoch, and of one that tells of a loss that became known later. */
export const LOG_EPOCH = 'log.epoch';

/** No log grows that far, and 8191 epochs of it stay whole numbers below 2^53. */
export const EPOCH_STEP = 2 ** 40;

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

/** Id of the log of an epoch. @param line a siteId, or `studio`: the id of its first log */
export function epochLogId(line: string, epoch: number): string {
  return epoch === 1 ? line : `${line}.${epoch}`;
}

/** @returns the line, and the epoch from 1, that `epochLogId` put into an id */
export function readLogId(logId: string): { line: string; epoch: number } {
  const found = /^([^.]+)\.([1-9]\d{0,3})$/.exec(logId);
  const epoch = Number(found?.[2] ?? 1);
  return epoch === 1 ? { line: logId, epoch } : { line: found![1]!, epoch };
}

// Browsers read this too: the small form of the library is enough.
const count = z.int().check(z.minimum(0));
const head = z.object({ origin: z.string(), size: count, rootHash: z.base64() });

export const epochPayloadSchema = z.object({
  /** the log of the epoch before, as it is here and closes */
  before: head,
  /** the checkpoint that somebody holds and that this log cannot reach */
  known: z.extend(head, { note: z.string() }),
  /** entries that were there and are not here: first number, and the number after the last */
  lost: z.object({ from: count, to: count }),
  /** who held it: the object store, a person who gave it, a browser or phone */
  heldBy: z.enum(['store', 'given', 'client']),
  /** the generation of the backup that was restored; null for a database set back otherwise */
  restored: z.nullable(z.string()),
});
export type EpochPayload = z.infer<typeof epochPayloadSchema>;

/** What was lost and what closed, in sentences for people. */
export function epochSentence({ before, known, lost, restored }: EpochPayload): string {
  const back =
    restored === null
      ? `${before.origin} was set back`
      : `${before.origin} came back from a backup with ${lost.from} entries`;
  return (
    `${back}; a checkpoint over ${known.size} is known. ${lossSentence(lost)} ` +
    `That log is closed at ${before.size} entries; the history goes on in the next epoch.`
  );
}

function lossSentence({ from, to }: EpochPayload['lost']): string {
  if (to <= from) return 'The two histories differ, so what stood there before is not here.';
  const which = to === from + 1 ? `Entry ${from}` : `Entries ${from} to ${to - 1}`;
  return `${which} as ${to === from + 1 ? 'it was' : 'they were'} then ${to === from + 1 ? 'is' : 'are'} lost.`;
}

/**
 * An entry as people cite it: `entry 7`, after a restore that opened the second epoch `entry 7 of epoch 2`.
 * Without an epoch the first is meant, so that what was cited before a restore still names the same.
 * @param place in the history of a site or of the studio, see `placeInHistory`
 */
export function entryName(place: number): string {
  const { epoch, seq } = readPlace(place);
  return `entry ${seq}${epoch === 1 ? '' : ` of epoch ${epoch}`}`;
}

/** As `entryName`, of an entry by its number in the log with this id. */
export function entryNameInLog(logId: string, seq: number): string {
  return entryName(placeInHistory(readLogId(logId).epoch, seq));
}

/** The place of an entry by its number in the log with this origin line. */
export function placeIn(origin: string, seq: number): number {
  return placeInHistory(parseOrigin(origin)?.epoch ?? 1, seq);
}

/** As `entryName`, of an entry by its number in the log with this origin line. */
export function entryNameIn(origin: string, seq: number): string {
  return entryName(placeIn(origin, seq));
}
