/** Work on all logs of the archive at once, in one transaction, one process at a time. */
import { type CopyPorts, copyCheckpoint } from '../checkpoint-copy.js';
import { type LogHead, lockLog, type SignedHead, storeHead } from '../log-head.js';
import type { ArchiveSigner } from '../signer.js';
import { type SqlPool, type SqlPoolClient, Tx } from '../tx.js';

/** Taken by everything that changes the archive's key or its files (any number not used elsewhere). */
const KEYS_LOCK = 4_173_001;

/** One process at a time; the lock ends with the connection when the process is killed. */
export async function withKeysLocked<T>(
  pool: SqlPool,
  work: (client: SqlPoolClient) => Promise<T>,
): Promise<T> {
  const client = await pool.connect();
  try {
    await client.query('SELECT pg_advisory_lock($1)', [KEYS_LOCK]);
    const result = await work(client);
    await client.query('SELECT pg_advisory_unlock($1)', [KEYS_LOCK]);
    client.release();
    return result;
  } catch (error) {
    client.release(true);
    throw error;
  }
}

/** A log after what was appended to it, and who signs it. */
export interface HeadToSign {
  readonly head: LogHead;
  readonly signer: ArchiveSigner;
}

/**
 * Locks every log, lets `write` append, signs the heads that it gives back, commits, and copies the
 * checkpoints to the object store.
 * @param committed called as soon as it is written for good
 */
export async function writeInEveryLog(
  client: SqlPoolClient,
  ports: CopyPorts,
  now: Date,
  write: (tx: Tx, heads: readonly LogHead[]) => Promise<readonly HeadToSign[]>,
  committed: () => void = () => undefined,
): Promise<void> {
  const tx = new Tx(client);
  const signed: SignedHead[] = [];
  await tx.run('BEGIN');
  for (const { head, signer } of await write(tx, await lockEveryLog(tx))) {
    signed.push(await storeHead(tx, head, signer, now));
  }
  await tx.run('COMMIT');
  committed();
  for (const head of signed) await copyCheckpoint(ports, head, now);
}

/**
 * Sites before the studio, as a command locks them. A site is begun under the studio's lock: once that
 * is held, a second look finds those that were begun meanwhile.
 */
async function lockEveryLog(tx: Tx): Promise<LogHead[]> {
  const heads = new Map<string, LogHead>();
  for (;;) {
    const rows = await tx.query<{ logId: string }>(
      `SELECT log_id FROM log l WHERE NOT log_id = ANY($1) AND NOT EXISTS
         (SELECT 1 FROM log later WHERE later.site_id IS NOT DISTINCT FROM l.site_id AND later.epoch > l.epoch)
       ORDER BY site_id IS NULL, log_id`,
      [[...heads.keys()]],
    );
    if (rows.length === 0) return [...heads.values()];
    for (const { logId } of rows) heads.set(logId, (await lockLog(tx, logId))!);
  }
}
