/** Copies of checkpoints beside the objects, so that a database rewritten later can be told. */
import type { ObjectStore } from '#libs/objects';
import type { SignedHead } from './log-head.js';

/** Where copies go, and how long they are retained there. */
export interface CopyPorts {
  readonly objects: Pick<ObjectStore, 'putNamed'>;
  /** undefined: as long as it is let be */
  readonly retainCheckpointsMs?: number | undefined;
  /** told when a checkpoint could not be copied (it stands in the database) */
  readonly onCopyFailed?: ((error: unknown) => void) | undefined;
}

type Copied = Pick<SignedHead, 'logId' | 'size' | 'note'>;

export function checkpointKey({ logId, size }: Pick<Copied, 'logId' | 'size'>): string {
  return `checkpoints/${logId}/${size}`;
}

/** @throws what the store says */
export async function putCheckpoint(
  { objects, retainCheckpointsMs: retainMs }: CopyPorts,
  head: Copied,
  at: Date,
): Promise<void> {
  await objects.putNamed(
    checkpointKey(head),
    new TextEncoder().encode(head.note),
    retainMs === undefined ? {} : { retainUntil: new Date(at.getTime() + retainMs) },
  );
}

/** What cannot be copied is told, never thrown: nothing waits for a copy. */
export async function copyCheckpoint(ports: CopyPorts, head: Copied, at: Date): Promise<void> {
  try {
    await putCheckpoint(ports, head, at);
  } catch (error) {
    ports.onCopyFailed?.(error);
  }
}
