import { daysAsRecorded } from './happened.js';
import type { ConditionRow } from './rows.js';

/**
 * Of each panel the class that stands: that of the latest day, of one day the one recorded last. A
 * survey of earlier years that is recorded today does not stand over one made since.
 *
 * @param rows that count, in any order
 * @param until last day that counts, YYYY-MM-DD
 */
export function standingConditions<
  R extends Pick<ConditionRow, 'panelId' | 'happened' | 'recordedAt' | 'entrySeq'>,
>(rows: readonly R[], until: string | null = null): R[] {
  const standing = new Map<string, { row: R; day: string }>();
  for (const row of rows) {
    const day = daysAsRecorded(row.happened, row.recordedAt).last ?? '';
    if (until !== null && day > until) continue;
    const before = standing.get(row.panelId);
    const isLater =
      before === undefined ||
      day > before.day ||
      (day === before.day && Number(row.entrySeq) > Number(before.row.entrySeq));
    if (isLater) standing.set(row.panelId, { row, day });
  }
  return [...standing.values()].map(({ row }) => row);
}
