import type { RetainClass } from '#libs/objects';
import { fillReplica, MirroredObjectStore } from '#libs/objects';
import type { WorkerJob } from '../worker-job.js';

const COMPARE_EVERY_MS = 24 * 60 * 60 * 1000;
let comparedAt = 0;

/** Gives the replica what it missed while it was away; once a day what it lacks for any other reason. */
export const objectsSettle: WorkerJob = {
  queue: 'objects.settle',
  async run(_data, { archive, objects }, run) {
    if (!(objects instanceof MirroredObjectStore)) return { state: 'no replica' };
    const { settled, left } = await objects.settle(run.signal);
    if (left > 0 || Date.now() - comparedAt < COMPARE_EVERY_MS) return { settled, left };
    const filled = await fillReplica(
      objects,
      async (digest): Promise<RetainClass | undefined> => {
        const row = await archive.reads.first('SELECT 1 FROM stored_object WHERE digest = $1', [
          digest,
        ]);
        return row === undefined ? 'derivative' : 'original';
      },
      run.signal,
    );
    comparedAt = Date.now();
    return { settled, left, ...filled };
  },
};
