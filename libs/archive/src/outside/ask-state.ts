/** When a witness or a time authority was asked of a log, and when it is worth asking again. */
import type { Tx } from '../tx.js';

export interface AskState {
  readonly knownSize: number;
  readonly failures: number;
  readonly nextAt: Date;
}

/** A failing answerer is asked ever less, at least once in this long. */
const BACKOFF_MAX_MS = 6 * 3_600_000;

export async function askState(tx: Tx, origin: string, whom: string): Promise<AskState> {
  return (
    (await tx.first<AskState>(
      'SELECT known_size, failures, next_at FROM outside_ask WHERE origin = $1 AND whom = $2',
      [origin, whom],
    )) ?? { knownSize: 0, failures: 0, nextAt: new Date(0) }
  );
}

/** @param trouble one sentence when it did not work: the next asking waits twice as long */
export async function keepAskState(
  tx: Tx,
  asked: { origin: string; whom: string; knownSize: number },
  { now, everyMs, trouble }: { now: Date; everyMs: number; trouble?: string | undefined },
): Promise<void> {
  const failures =
    trouble === undefined ? 0 : (await askState(tx, asked.origin, asked.whom)).failures + 1;
  const waitMs =
    failures === 0 ? everyMs : Math.min(BACKOFF_MAX_MS, everyMs * 2 ** Math.min(failures - 1, 16));
  await tx.run(
    `INSERT INTO outside_ask (origin, whom, known_size, failures, asked_at, next_at, trouble)
     VALUES ($1, $2, $3, $4, $5, $6, $7)
     ON CONFLICT (origin, whom) DO UPDATE SET known_size = EXCLUDED.known_size,
       failures = EXCLUDED.failures, asked_at = EXCLUDED.asked_at, next_at = EXCLUDED.next_at,
       trouble = EXCLUDED.trouble`,
    [
      asked.origin,
      asked.whom,
      asked.knownSize,
      failures,
      now,
      new Date(now.getTime() + waitMs),
      trouble ?? null,
    ],
  );
}
