/** Reads outside a transaction: what many ask for at the same moment is asked in one statement. */
import type { Asked } from './batch-tx.js';
import { keyText, type Lookup } from './lookup.js';
import type { RecentAnswers } from './recent-answers.js';
import { type SqlPool, Tx } from './tx.js';

interface Place {
  readonly resolve: (rows: unknown[]) => void;
  readonly reject: (error: unknown) => void;
}

interface Question {
  readonly key: Asked['key'];
  readonly places: Place[];
}

export class GroupedReads extends Tx {
  readonly #questions = new Map<Lookup<unknown>, Map<string, Question>>();

  /** Answered by a statement that begins after the call. */
  override ask<R>(lookup: Lookup<R>, ...key: readonly (string | number)[]): Promise<R[]> {
    return new Promise((resolve, reject) => {
      const asked = lookup as Lookup<unknown>;
      let questions = this.#questions.get(asked);
      if (questions === undefined) {
        questions = new Map();
        this.#questions.set(asked, questions);
        // After all that is ready to run now: those who were answered together ask together.
        process.nextTick(() => void this.#answer(asked));
      }
      const text = keyText(key);
      const question = questions.get(text) ?? { key, places: [] };
      question.places.push({ resolve: resolve as (rows: unknown[]) => void, reject });
      questions.set(text, question);
    });
  }

  async #answer(lookup: Lookup<unknown>): Promise<void> {
    const questions = this.#questions.get(lookup)!;
    this.#questions.delete(lookup);
    try {
      const rows = await this.askAll(
        lookup,
        [...questions.values()].map(({ key }) => key),
      );
      if (questions.size === 1) {
        const [{ places }] = questions.values() as unknown as [Question];
        for (const { resolve } of places) resolve(rows);
        return;
      }
      const byKey = new Map<string, unknown[]>();
      for (const row of rows) {
        const key = keyText(lookup.keyOf(row));
        const found = byKey.get(key);
        if (found === undefined) byKey.set(key, [row]);
        else found.push(row);
      }
      for (const [key, { places }] of questions) {
        for (const { resolve } of places) resolve(byKey.get(key) ?? []);
      }
    } catch (error) {
      if (questions.size === 1) {
        for (const { places } of questions.values()) for (const { reject } of places) reject(error);
        return;
      }
      // One bad question harms no other.
      for (const { key, places } of questions.values()) {
        this.askAll(lookup, [key]).then(
          (rows) => {
            for (const { resolve } of places) resolve(rows);
          },
          (cause: unknown) => {
            for (const { reject } of places) reject(cause);
          },
        );
      }
    }
  }
}

/** The reads of one command before its log is locked, and what they asked. */
export class NotedReads extends Tx {
  readonly asked: Asked[] = [];
  #remembered = 0;

  /** @param recent answers that may be taken from memory */
  constructor(
    pool: SqlPool,
    private readonly reads: Tx,
    private readonly recent?: RecentAnswers,
  ) {
    super(pool);
  }

  /** Whether all that was asked so far was answered from memory. */
  get isFromMemory(): boolean {
    return this.#remembered === this.asked.length;
  }

  /** Whether anything was. */
  get isRemembering(): boolean {
    return this.#remembered > 0;
  }

  override ask<R>(lookup: Lookup<R>, ...key: readonly (string | number)[]): Promise<R[]> {
    const supposed = this.recent?.get(lookup, key);
    this.asked.push({ lookup, key, ...(supposed === undefined ? {} : { supposed }) });
    if (supposed === undefined) return this.reads.ask(lookup, ...key);
    this.#remembered += 1;
    return Promise.resolve([...supposed] as R[]);
  }

  /** Supposes that there is no answer: writing the row fails when there is one. */
  supposeNone(lookup: Lookup<unknown>, ...key: readonly (string | number)[]): void {
    this.asked.push({ lookup, key, supposed: [], isGuarded: true });
  }
}
