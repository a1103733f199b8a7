import { storesOf } from '#libs/objects';
import { type DoctorCheck, inWords } from './check.js';

const OLD_MS = 7 * 24 * 60 * 60 * 1000;

/** Parts of uploads that never ended, versions that were replaced, files that a crash left. */
export const leftoverBytes: DoctorCheck = {
  name: 'leftovers',
  async run({ objects }) {
    const told: string[] = [];
    for (const { name, store } of storesOf(objects)) {
      for (const { kind, count, sizeBytes } of await store.leftovers(
        new Date(Date.now() - OLD_MS),
      )) {
        told.push(`${count} × ${kind} (${inWords(sizeBytes)}) in the ${name}`);
      }
    }
    if (told.length === 0) return { state: 'good', says: 'nothing older than a week lies about' };
    return {
      state: 'look',
      says: `older than a week: ${told.join(', ')}`,
      doThis: 'mullion admin sweep shows them, with --remove it clears them away',
    };
  },
};
