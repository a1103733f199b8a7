/**
 * Group commit: what waits for one log is written in one transaction. One row a transaction reached
 * 270-400 rows/s, 100 rows 25,000 (synchronous commit, one site).
 */

const BATCH_MAX = 256;

/** How one of a batch ended: its answer, or why it was refused. */
export type Ended<O> = { readonly outcome: O } | { readonly refusal: unknown };

/** Writes a batch; resolves in the batch's order once it is committed, rejects when nothing was. */
export type WriteBatch<W, O> = (logId: string, batch: readonly W[]) => Promise<Ended<O>[]>;

interface Place<W, O> {
  readonly waiting: W;
  resolve(outcome: O): void;
  reject(error: unknown): void;
}

export class GroupCommit<W, O> {
  readonly #queues = new Map<string, Place<W, O>[]>();
  readonly #running = new Map<string, Promise<void>>();
  readonly #write: WriteBatch<W, O>;

  constructor(write: WriteBatch<W, O>) {
    this.#write = write;
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
    while (queue.length > 0) {
      // Those who were answered together come together: let the others of them in.
      await new Promise((resolve) => setImmediate(resolve));
      await this.#commit(logId, queue.splice(0, BATCH_MAX));
    }
    this.#running.delete(logId);
    this.#queues.delete(logId);
  }

  async #commit(logId: string, places: readonly Place<W, O>[]): Promise<void> {
    try {
      const ended = await this.#write(
        logId,
        places.map(({ waiting }) => waiting),
      );
      for (const [i, place] of places.entries()) {
        const end = ended[i]!;
        if ('outcome' in end) place.resolve(end.outcome);
        else place.reject(end.refusal);
      }
    } catch (error) {
      for (const place of places) place.reject(error);
    }
  }
}
