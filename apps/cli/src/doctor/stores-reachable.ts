import { randomUUID } from 'node:crypto';
import { storesOf } from '#libs/objects';
import type { DoctorCheck } from './check.js';

/** Writes a few bytes to each store, reads them back and removes them. */
export const storesReachable: DoctorCheck = {
  name: 'stores answer',
  async run({ objects, config }) {
    const told: string[] = [];
    for (const { name, store } of storesOf(objects)) {
      const place = name === 'primary' ? config.objects : config.objectsReplica;
      const text = randomUUID();
      const key = `doctor/${text}`;
      const begun = performance.now();
      try {
        await store.putNamed(key, Buffer.from(text));
        const read = await store.readNamed(key);
        if (read === undefined || Buffer.from(read).toString() !== text) {
          throw new Error('what was written came back as something else');
        }
        await store.removeNamed(key);
      } catch (error) {
        return {
          state: 'bad',
          says: `the ${name} ${String(place)} does not work: ${(error as Error).message}`,
          doThis:
            name === 'primary'
              ? 'mend this first: nothing can be stored'
              : 'mend it: until then new objects lie in one place only',
        };
      }
      told.push(`${name} in ${Math.round(performance.now() - begun)} ms`);
    }
    return { state: 'good', says: `written, read and removed: ${told.join(', ')}` };
  },
};
