import { z } from 'zod';
import { askTime, ownHeads } from '#libs/archive';
import { Problem } from '#libs/problem';
import type { WorkerJob } from '../worker-job.js';

const payloadSchema = z.object({ logId: z.string().optional(), isForced: z.boolean().optional() });

/** Has the newest checkpoint of each log stamped by the time authority, once a day unless asked for. */
export const timeAsk: WorkerJob = {
  queue: 'time.ask',
  async run(data, { archive, outside }, { signal }) {
    const { logId, isForced = false } = payloadSchema.parse(data ?? {});
    const { timeAuthority } = outside;
    if (timeAuthority === undefined) {
      throw new Problem('time-authority-unset', 'Name one with MULLION_TIME_AUTHORITY.');
    }
    const counts = { stamped: 0, trouble: 0 };
    for (const head of await ownHeads(archive.reads, logId)) {
      signal.throwIfAborted();
      const answer = await askTime(
        head,
        timeAuthority,
        {
          tx: archive.reads,
          fetch,
          now: () => new Date(),
          everyMs: outside.timeEveryMs,
          signal,
        },
        { isForced },
      );
      if (answer.kind === 'stamped') counts.stamped += 1;
      if (answer.kind !== 'trouble') continue;
      counts.trouble += 1;
      console.error(`no time token for ${head.origin}: ${answer.says}`);
    }
    return counts;
  },
};
