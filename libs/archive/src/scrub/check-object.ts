import { isFault, type TendedStore } from '#libs/objects';
import type { Pace } from './pace.js';

export type ObjectState = 'whole' | 'missing' | 'damaged';

/**
 * Reads an object to its end and tells whether its digest holds.
 *
 * @throws {ObjectStoreError} `store-unavailable`: nothing is known then
 */
export async function stateOf(
  store: TendedStore,
  digest: string,
  pace: Pace,
  signal?: AbortSignal,
): Promise<ObjectState> {
  try {
    for await (const chunk of await store.read(digest)) {
      await pace.take((chunk as Uint8Array).length, signal);
    }
    return 'whole';
  } catch (error) {
    if (isFault(error, 'object-missing')) return 'missing';
    if (isFault(error, 'object-damaged')) return 'damaged';
    throw error;
  }
}
