/** Rows as one version showed them, beside what this one shows of the same history. */
export type Rows = Record<string, Record<string, unknown>[]>;

/**
 * What a version shows on purpose beside what the one showed that wrote the history: rows of tables
 * that it had not, and members that were added. All else must be equal.
 */
export function comparable(shown: Rows, then: Rows): Rows {
  return Object.fromEntries(
    Object.entries(then).map(([table, rows]) => [
      table,
      (shown[table] ?? []).map((row, i) =>
        Object.fromEntries(Object.keys(rows[i] ?? row).map((column) => [column, row[column]])),
      ),
    ]),
  );
}

export const asJson = (rows: Rows): Rows => JSON.parse(JSON.stringify(rows)) as Rows;
