/**
 * Answers of lookups that seldom change, as this process last read them under the lock of a log. They
 * hold while that log and the studio's stand where this process knows them to stand; once another process
 * wrote they are in doubt until they are read again. A command may be decided by answers in doubt too, as
 * long as they are asked again under the lock: one that is no longer the same sends the command back to
 * read anew (`OutdatedReads`).
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

interface Remembered {
  readonly rows: readonly unknown[];
  era: number;
}

export class RecentAnswers {
  readonly #answers = new Map<Lookup<unknown>, RecentCache<Remembered>>();
  #era = 0;

  get(lookup: Lookup<unknown>, key: Asked['key']): readonly unknown[] | undefined {
    return this.#answers.get(lookup)?.get(keyText(key))?.rows;
  }

  /** Whether these very rows are remembered and not in doubt. */
  holds(lookup: Lookup<unknown>, key: Asked['key'], rows: readonly unknown[]): boolean {
    const found = this.#answers.get(lookup)?.get(keyText(key));
    return found?.rows === rows && found.era === this.#era;
  }

  /** Another process wrote. */
  doubt(): void {
    this.#era += 1;
  }

  /**
   * Takes what a committed batch read; what was not there is not remembered.
   * @param line the site, or `studio`, whose log was locked
   */
  remember(lookup: Lookup<unknown>, key: string, rows: readonly unknown[], line: string): void {
    if (lookup.steadyIn === undefined) return;
    let answers = this.#answers.get(lookup);
    if (rows.length === 0 || !isWithin(lookup, rows, line)) {
      answers?.remove(key);
      return;
    }
    if (answers === undefined) {
      answers = new RecentCache(ROWS_MAX);
      this.#answers.set(lookup, answers);
    }
    const found = answers.get(key);
    if (found?.rows === rows) found.era = this.#era;
    else answers.set(key, { rows, era: this.#era }, rows.length);
  }

  /** Lets go of all that was read of these tables. */
  forget(tables: readonly string[] | 'all'): void {
    for (const [lookup, answers] of this.#answers) {
      if (tables === 'all' || lookup.tables.some((table) => tables.includes(table)))
        answers.clear();
    }
  }
}

/** Whether nothing but the log of this line, or the studio's, can change the answer. */
export function isWithin(
  { steadyIn }: Lookup<unknown>,
  rows: readonly unknown[],
  line: string,
): boolean {
  if (steadyIn === 'studio') return true;
  return steadyIn === 'site' && rows.every((row) => (row as { siteId?: unknown }).siteId === line);
}

/** Whether what was remembered is what the database answers. */
export function isSameAnswer(remembered: readonly unknown[], read: readonly unknown[]): boolean {
  return remembered === read || isDeepStrictEqual(remembered, read);
}
