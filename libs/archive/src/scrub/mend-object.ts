import { isFault, type TendedStore } from '#libs/objects';
import type { StoreName, Trouble } from './trouble.js';

/**
 * Makes an object whole: from what the store still holds, else from another store; destroys one that
 * was withdrawn.
 *
 * @returns where the bytes came from; null when there are none left
 */
export async function mendObject(
  { digest, role, state }: { digest: string; role: string; state: Trouble['state'] },
  store: TendedStore,
  others: readonly { name: StoreName; store: TendedStore }[],
): Promise<Trouble['mendedFrom']> {
  if (state === 'not-withdrawn') {
    await store.destroy(digest);
    return 'destroyed';
  }
  if (await store.mend(digest)) return 'itself';
  for (const other of others) {
    try {
      await store.put(await other.store.read(digest), {
        expectedDigest: digest,
        isRepair: true,
        retain: role === 'derivative' ? 'derivative' : 'original',
      });
      return other.name;
    } catch (error) {
      // the other one is damaged or missing too: the person is told of both
      if (!isFault(error, 'object-missing', 'object-damaged', 'digest-mismatch')) throw error;
    }
  }
  return null;
}
