import { compareStores, MirroredObjectStore } from '#libs/objects';
import { type DoctorCheck, inWords } from './check.js';

export const replicaInStep: DoctorCheck = {
  name: 'replica',
  async run({ objects }) {
    if (!(objects instanceof MirroredObjectStore)) {
      return {
        state: 'look',
        says: 'all objects lie in one place',
        doThis: 'name a second disk or service as MULLION_OBJECTS_REPLICA, or keep backups on one',
      };
    }
    let owed = 0;
    let oldest: Date | undefined;
    for await (const { since } of objects.owed()) {
      owed++;
      if (oldest === undefined || since < oldest) oldest = since;
    }
    const { lacking, extra } = await compareStores(objects);
    if (owed === 0 && lacking.count === 0 && lacking.namedTexts === 0) {
      const more = extra.count === 0 ? '' : `; it holds ${extra.count} that the primary does not`;
      return extra.count === 0
        ? { state: 'good', says: `holds every object and checkpoint of the primary${more}` }
        : { state: 'look', says: `in step${more}`, doThis: 'mullion admin scrub says which count' };
    }
    const since = oldest === undefined ? '' : ` since ${oldest.toISOString()}`;
    return {
      state: 'bad',
      says: `lacks ${lacking.count} objects (${inWords(lacking.sizeBytes)}) and ${lacking.namedTexts} checkpoints; ${owed} writes are noted for it${since}`,
      doThis:
        'see that it answers: the worker copies what is lacking by itself, scrub --repair at once',
    };
  },
};
