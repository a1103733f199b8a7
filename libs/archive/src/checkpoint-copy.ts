import type { ObjectStore } from '#libs/objects';
import type { SignedHead } from './log-head.js';

/** A copy of a checkpoint beside the objects, so that a database rewritten later can be told. */
export async function copyCheckpoint(
  objects: ObjectStore,
  { logId, size, note }: SignedHead,
  retainUntil?: Date,
): Promise<void> {
  await objects.putNamed(
    `checkpoints/${logId}/${size}`,
    new TextEncoder().encode(note),
    retainUntil === undefined ? {} : { retainUntil },
  );
}
