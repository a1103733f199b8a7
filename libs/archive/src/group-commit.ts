/**
 * Group commit: what waits for one log is written in one transaction, with a savepoint each, so
 * that one bad command harms no other. One row a transaction reached 270-400 rows/s, 100 rows
 * 25,000 (synchronous commit, one site).
 */
import { Problem } from '#libs/problem';
import { type SqlPool, type SqlPoolClient, Tx } from './tx.js';

const BATCH_MAX = 64;

interface Ports<W, O, E, B> {
  readonly pool: SqlPool;
  begin(tx: Tx, logId: string): Promise<B>;
  one(batch: B, waiting: W): Promise<O>;
  end(batch: B): Promise<E>;
  committed(end: E): void;
}

interface Place<W, O> {
  readonly waiting: W;
  resolve(outcome: O): void;
  reject(error: unknown): void;
}

export class GroupCommit<W, O, E, B> {
  readonly #queues = new Map<string, Place<W, O>[]>();
  readonly #running = new Map<string, Promise<void>>();
  readonly #ports: Ports<W, O, E, B>;

  constructor(ports: Ports<W, O, E, B>) {
    this.#ports = ports;
  }

  /** Resolves when the transaction that holds it is committed. */
  add(logId: string, waiting: W): Promise<O> {
    return new Promise<O>((resolve, reject) => {
      const queue = this.#queues.get(logId) ?? [];
      queue.push({ waiting, resolve, reject });
      this.#queues.set(logId, queue);
      if (!this.#running.has(logId)) this.#running.set(logId, this.#drain(logId));
    });
  }

  async idle(): Promise<void> {
    while (this.#running.size > 0) await Promise.all(this.#running.values());
  }

  async #drain(logId: string): Promise<void> {
    const queue = this.#queues.get(logId)!;
    while (queue.length > 0) await this.#commit(logId, queue.splice(0, BATCH_MAX));
    this.#running.delete(logId);
  }

  async #commit(logId: string, places: readonly Place<W, O>[]): Promise<void> {
    let client: SqlPoolClient;
    try {
      client = await this.#ports.pool.connect();
    } catch (error) {
      for (const place of places) place.reject(unavailable(error));
      return;
    }
    const done: { place: Place<W, O>; outcome: O }[] = [];
    const refused: { place: Place<W, O>; error: unknown }[] = [];
    try {
      const tx = new Tx(client);
      await tx.run('BEGIN');
      const batch = await this.#ports.begin(tx, logId);
      for (const place of places) {
        await tx.run('SAVEPOINT command');
        try {
          const outcome = await this.#ports.one(batch, place.waiting);
          await tx.run('RELEASE SAVEPOINT command');
          done.push({ place, outcome });
        } catch (error) {
          await tx.run('ROLLBACK TO SAVEPOINT command');
          await tx.run('RELEASE SAVEPOINT command');
          refused.push({ place, error });
        }
      }
      const end = await this.#ports.end(batch);
      await tx.run('COMMIT');
      client.release();
      this.#ports.committed(end);
      for (const { place, outcome } of done) place.resolve(outcome);
      for (const { place, error } of refused) place.reject(error);
    } catch (error) {
      // Nothing of this batch was acknowledged; whether COMMIT reached the disk is told by a retry
      // with the same key.
      client.release(true);
      for (const place of places) {
        place.reject(error instanceof Problem ? error : unavailable(error));
      }
    }
  }
}

function unavailable(cause: unknown): Problem {
  return new Problem(
    'archive-unavailable',
    'The database did not take the record. Nothing was acknowledged; send it again with the same Idempotency-Key.',
    {},
    { cause },
  );
}
