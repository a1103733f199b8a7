import { scrub, troubleInWords } from '#libs/archive';
import type { WorkerJob } from '../worker-job.js';

/** A slice at a time, so that nothing else waits for it; the next minute's goes on. */
const SLICE_MS = 45_000;

/** Reads the objects again at leisure, and mends what can be mended. */
export const objectsScrub: WorkerJob = {
  queue: 'objects.scrub',
  async run(_data, { archive, scrubbing }, run) {
    if (scrubbing.mbPerS === 0) return { state: 'off' };
    const isDue = await archive.reads.first(
      `SELECT 1 WHERE EXISTS (SELECT 1 FROM scrub_run)
       OR now() - make_interval(secs => $1) > coalesce(
         (SELECT max(ended_at) FROM scrub), (SELECT min(first_at) FROM stored_object))`,
      [scrubbing.everyMs / 1000],
    );
    if (isDue === undefined) return { state: 'not due' };
    const outcome = await scrub(archive, {
      bytesPerS: scrubbing.mbPerS * 1e6,
      isMending: true,
      signal: run.signal,
      maxMs: SLICE_MS,
      onTrouble: (trouble) => {
        console.error(troubleInWords(trouble));
      },
      onProgress: ({ objects }, ofObjects) => {
        run.progress('scrubbing', objects / Math.max(1, ofObjects));
      },
    });
    return { state: outcome.state };
  },
};
