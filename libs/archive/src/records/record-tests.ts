/** Tests of a place and of what lies in it, as rows and as a record tells them. */
import type { ConditionRecord } from '#libs/records';
import { testKind } from '#libs/vocabulary';
import type { TestRow } from '../rows.js';
import type { Tx } from '../tx.js';

export function testsAt(tx: Tx, siteId: string, mark: string): Promise<TestRow[]> {
  return tx.query<TestRow>(
    `SELECT * FROM test WHERE site_id = $1 AND state = 'recorded'
       AND (subject = $2 OR starts_with(subject, $2 || '.')) ORDER BY entry_seq`,
    [siteId, mark],
  );
}

export function toldTest(row: TestRow): ConditionRecord['tests'][number] {
  const { subject, kind, method, happened, outcome, result, sample } = row;
  const known = testKind(kind);
  return {
    mark: subject,
    kind: known?.label ?? kind,
    place: placeOf(row),
    method,
    happened,
    outcome: known?.outcomes.find(({ key }) => key === outcome)?.label ?? outcome,
    result,
    sample,
    untilKnown: outcome === null ? (known?.untilKnown ?? null) : null,
  };
}

const placeOf = ({ place, atXMm, atYMm }: TestRow): string =>
  atXMm === null || atYMm === null
    ? place
    : `${place} (${Math.round(atXMm)} mm right, ${Math.round(atYMm)} mm down from the panel’s upper left corner)`;
