/** What is known of a place and of what it lies in: a panel has its window's maker unless it says another. */
import type { BackgroundRow } from './rows.js';
import type { Tx } from './tx.js';
import type { BackgroundSaid } from './views/background-view.js';

/** @param mark full and canonical @returns what stands of it and of what it lies in, the nearest first */
export function backgroundsAt(tx: Tx, siteId: string, mark: string): Promise<BackgroundRow[]> {
  return tx.query<BackgroundRow>(
    `SELECT * FROM background WHERE site_id = $1 AND (mark = $2 OR starts_with($2, mark || '.'))
     ORDER BY length(mark) DESC`,
    [siteId, mark],
  );
}

/** Each member from the nearest place that says it, with that place's mark. */
export function nearestSaid<K extends keyof BackgroundSaid>(
  rows: readonly BackgroundRow[],
  member: K,
): { readonly mark: string; readonly said: NonNullable<BackgroundSaid[K]> } | null {
  for (const { mark, said } of rows) {
    const value = (said as BackgroundSaid)[member];
    if (value !== undefined) return { mark, said: value };
  }
  return null;
}
