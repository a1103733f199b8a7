/**
 * Epochs of a log. A restore older than a checkpoint that somebody holds never forks a log: the log
 * closes, and the next epoch of it opens with an origin of its own; its first entry names what was lost.
 */
import * as z from 'zod/mini';

/** Type of the first entry of an epoch, and of one that tells of a loss that became known later. */
export const LOG_EPOCH = 'log.epoch';

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
