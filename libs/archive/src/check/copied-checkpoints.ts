/** Copies of a log's checkpoints in the object store. */
import type { ObjectStore } from '#libs/objects';
import { checkpointKey } from '../checkpoint-copy.js';

/** Sizes of which there is a copy. */
export async function copiedSizes(store: ObjectStore, logId: string): Promise<Set<number>> {
  const sizes = new Set<number>();
  const prefix = `checkpoints/${logId}/`;
  for await (const key of store.listNamed(prefix)) {
    const size = Number(key.slice(prefix.length));
    if (Number.isSafeInteger(size) && size > 0) sizes.add(size);
  }
  return sizes;
}

export async function copyOfCheckpoint(
  store: ObjectStore,
  log: { logId: string; size: number },
): Promise<string | undefined> {
  const bytes = await store.readNamed(checkpointKey(log));
  return bytes === undefined ? undefined : new TextDecoder().decode(bytes);
}
