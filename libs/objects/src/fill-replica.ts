import type { MirroredObjectStore } from './mirrored-object-store.js';
import type { ListedObject, ObjectStore, RetainClass } from './object-store.js';
import { isOwedKey } from './owed.js';

export interface Difference {
  /** in the primary only: they lie in one place */
  lacking: { count: number; sizeBytes: number; namedTexts: number };
  /** in the replica only: lost from the primary, or never named by anything */
  extra: { count: number; sizeBytes: number };
}

/** Holds the lists of the two stores against one another; reads no object. */
export async function compareStores(
  { primary, replica }: MirroredObjectStore,
  each: {
    lacking?: (object: ListedObject) => Promise<void>;
    lackingNamed?: (key: string) => Promise<void>;
  } = {},
): Promise<Difference> {
  const lacking = { count: 0, sizeBytes: 0, namedTexts: 0 };
  const extra = { count: 0, sizeBytes: 0 };
  const others = replica.list()[Symbol.asyncIterator]();
  let other = await others.next();
  const passOver = async (until: string | undefined) => {
    while (other.done !== true && (until === undefined || other.value.digest < until)) {
      extra.count++;
      extra.sizeBytes += other.value.sizeBytes;
      other = await others.next();
    }
  };
  for await (const object of primary.list()) {
    await passOver(object.digest);
    if (other.done !== true && other.value.digest === object.digest) {
      const isSame = other.value.sizeBytes === object.sizeBytes;
      other = await others.next();
      if (isSame) continue;
    }
    lacking.count++;
    lacking.sizeBytes += object.sizeBytes;
    await each.lacking?.(object);
  }
  await passOver(undefined);

  const names = new Set<string>();
  for await (const key of replica.listNamed('')) names.add(key);
  for await (const key of primary.listNamed('')) {
    if (isOwedKey(key) || names.has(key)) continue;
    lacking.namedTexts++;
    await each.lackingNamed?.(key);
  }
  return { lacking, extra };
}

/**
 * Copies to the replica what it lacks beside the known debts: all there was before it was named, or
 * what somebody removed there.
 *
 * @param retainOf what the bytes are to the archive, so that originals stand under retention there too
 * @returns what was copied
 */
export async function fillReplica(
  store: MirroredObjectStore,
  retainOf: (digest: string) => Promise<RetainClass | undefined>,
  signal?: AbortSignal,
): Promise<Difference['lacking']> {
  const { primary, replica } = store;
  const { lacking } = await compareStores(store, {
    lacking: async ({ digest }) => {
      signal?.throwIfAborted();
      const retain = await retainOf(digest);
      await replica.put(await primary.read(digest), {
        expectedDigest: digest,
        isRepair: true,
        ...(retain === undefined ? {} : { retain }),
      });
    },
    lackingNamed: async (key) => {
      signal?.throwIfAborted();
      await copyNamed(primary, replica, key);
    },
  });
  return lacking;
}

async function copyNamed(from: ObjectStore, to: ObjectStore, key: string): Promise<void> {
  const bytes = await from.readNamed(key);
  if (bytes !== undefined) await to.putNamed(key, bytes);
}
