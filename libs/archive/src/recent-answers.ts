/**
 * Answers of lookups that seldom change, as this process last read them. What a command reads before
 * its log is locked may come from here, since it is asked again under the lock: an answer that is no
 * longer the same sends the command back to read anew (`OutdatedReads`).
 */
import { isDeepStrictEqual } from 'node:util';
import type { Asked } from './batch-tx.js';
import { keyText, type Lookup } from './lookup.js';
import { RecentCache } from './recent-cache.js';

const ROWS_MAX = 4000;

/** Thrown for a command whose reads before the lock did not hold under it: nothing was decided. */
export class OutdatedReads extends Error {
  override readonly name = 'OutdatedReads';
}

export class RecentAnswers {
  readonly #answers = new Map<Lookup<unknown>, RecentCache<readonly unknown[]>>();

  get(lookup: Lookup<unknown>, key: Asked['key']): readonly unknown[] | undefined {
    return this.#answers.get(lookup)?.get(keyText(key));
  }

  /** Takes what a committed batch read; what was not there is not remembered. */
  remember(lookup: Lookup<unknown>, key: string, rows: readonly unknown[]): void {
    if (lookup.isSteady !== true) return;
    let answers = this.#answers.get(lookup);
    if (rows.length === 0) {
      answers?.remove(key);
      return;
    }
    if (answers === undefined) {
      answers = new RecentCache(ROWS_MAX);
      this.#answers.set(lookup, answers);
    }
    if (answers.get(key) !== rows) answers.set(key, rows, rows.length);
  }

  /** Lets go of all that was read of these tables. */
  forget(tables: readonly string[] | 'all'): void {
    for (const [lookup, answers] of this.#answers) {
      if (tables === 'all' || lookup.tables.some((table) => tables.includes(table)))
        answers.clear();
    }
  }
}

/** Whether what was remembered is what the database answers. */
export function isSameAnswer(remembered: readonly unknown[], read: readonly unknown[]): boolean {
  return remembered === read || isDeepStrictEqual(remembered, read);
}
