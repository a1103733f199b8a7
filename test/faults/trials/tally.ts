/** What the trials came to: a row for each kind, one table, and whether all of it held. */
import type { Faults } from './ledger-watch.js';

export interface KindResult extends Faults {
  readonly kind: string;
  trials: number;
  asked: number;
  /** answered before anybody had to ask again */
  atOnce: number;
  acknowledged: number;
  /** refusals and failures that people should not have met */
  wrong: string[];
  /** jobs whose end nobody saw */
  unended: string[];
}

export const FAULTS = ['lost', 'doubled', 'broken', 'inconsistent', 'wrong', 'unended'] as const;

/** A line of each that is printed; the rest are counted. */
const LINES_MAX = 10;

export class Tally {
  readonly #rows = new Map<string, KindResult>();

  row(kind: string): KindResult {
    const none = { lost: [], doubled: [], broken: [], inconsistent: [], wrong: [], unended: [] };
    const row = this.#rows.get(kind) ?? {
      kind,
      trials: 0,
      asked: 0,
      atOnce: 0,
      acknowledged: 0,
      ...none,
    };
    this.#rows.set(kind, row);
    return row;
  }

  /** @param where which trial it was */
  add(
    kind: string,
    where: string,
    found: Partial<Record<(typeof FAULTS)[number], string[]>>,
  ): void {
    const row = this.row(kind);
    for (const word of FAULTS) {
      row[word].push(...(found[word] ?? []).map((line) => `${where}: ${line}`));
    }
  }

  get rows(): readonly KindResult[] {
    return [...this.#rows.values()];
  }
}

/** The rows as people read them. */
export function tableOf(rows: readonly KindResult[]): Record<string, string | number>[] {
  return rows.map((row) => ({
    kind: row.kind,
    trials: row.trials,
    asked: row.asked,
    'answered at once': row.atOnce,
    'answered in the end': row.acknowledged,
    lost: row.lost.length,
    doubled: row.doubled.length,
    'broken objects': row.broken.length,
    'inconsistent logs': row.inconsistent.length,
    wrong: row.wrong.length,
    'unended jobs': row.unended.length,
  }));
}

export function faultLines(rows: readonly KindResult[]): string[] {
  return rows.flatMap((row) =>
    FAULTS.flatMap((word) => {
      const lines = row[word].slice(0, LINES_MAX).map((line) => `${word}: ${row.kind}, ${line}`);
      const more = row[word].length - lines.length;
      return more > 0 ? [...lines, `${word}: ${row.kind}, and ${more} more`] : lines;
    }),
  );
}
