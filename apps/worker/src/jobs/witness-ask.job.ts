import { z } from 'zod';
import { askWitness, ownHeads } from '#libs/archive';
import type { WorkerJob } from '../worker-job.js';

const payloadSchema = z.object({ logId: z.string().optional(), isForced: z.boolean().optional() });

/**
 * Asks every witness to cosign the newest checkpoint of each log that it has not seen yet, at most
 * as often as configured. Run again it asks only for what is still missing.
 */
export const witnessAsk: WorkerJob = {
  queue: 'witness.ask',
  async run(data, { archive, outside }, { signal }) {
    const { logId, isForced = false } = payloadSchema.parse(data ?? {});
    const counts = { cosigned: 0, trouble: 0, alarms: 0 };
    for (const head of await ownHeads(archive.reads, logId)) {
      for (const place of outside.witnesses) {
        signal.throwIfAborted();
        const answer = await askWitness(
          head,
          place,
          {
            tx: archive.reads,
            fetch,
            now: () => new Date(),
            everyMs: outside.witnessEveryMs,
            signal,
          },
          { isForced },
        );
        if (answer.kind === 'cosigned') counts.cosigned += 1;
        if (answer.kind === 'trouble') counts.trouble += 1;
        if (answer.kind !== 'alarm') continue;
        counts.alarms += 1;
        console.error(`ALARM: ${answer.says}`);
      }
    }
    return counts;
  },
};
