/**
 * What people read against what the history gives: projections are made anew in a transaction that is
 * rolled back, and compared row by row with those that stand. Writers wait meanwhile.
 */
import type { ObjectStore } from '#libs/objects';
import { projectAll } from '../rebuild.js';
import { snakeCase } from '../row-insert.js';
import { PROJECTIONS } from '../tables.js';
import type { SqlPool, Tx } from '../tx.js';
import { rolledBack } from './rolled-back.js';
import { whatIs } from './what-is.js';

export interface ProjectionFault {
  table: string;
  what: string;
  reason: string;
}

const ROWS_A_PAGE = 500;
const FAULTS_MAX = 100;

/** @throws Error when the history cannot be projected: an entry is damaged, or an object missing */
export async function checkProjections(
  pool: SqlPool,
  objects: ObjectStore,
): Promise<{ rows: number; faults: ProjectionFault[] }> {
  return rolledBack(pool, 'BEGIN', async (anew) => {
    await projectAll(anew, objects);
    // another connection sees the rows as they stand
    return rolledBack(pool, 'BEGIN ISOLATION LEVEL REPEATABLE READ READ ONLY', async (standing) => {
      const faults: ProjectionFault[] = [];
      let rows = 0;
      for (const [table, { key }] of Object.entries(PROJECTIONS)) {
        rows += await compareTable(table, key.map(snakeCase), anew, standing, faults);
      }
      return { rows, faults };
    });
  });
}

interface Row {
  key: string;
  row: string;
}

async function compareTable(
  table: string,
  key: readonly string[],
  anew: Tx,
  standing: Tx,
  faults: ProjectionFault[],
): Promise<number> {
  const before = rowsOf(standing, table, key);
  const after = rowsOf(anew, table, key);
  let rows = 0;
  let [one, other] = [await before.next(), await after.next()];
  while (one.done !== true || other.done !== true) {
    const [a, b] = [one.value, other.value];
    const isA = a !== undefined && (b === undefined || a.key <= b.key);
    const isB = b !== undefined && (a === undefined || b.key <= a.key);
    if (!(isA && isB && a.row === b.row) && faults.length < FAULTS_MAX) {
      const reason = isA ? (isB ? 'was changed' : 'was added') : 'is missing';
      faults.push({
        table,
        what: await whatRow(isB ? anew : standing, (isB ? b : a)!.row),
        reason: `a row of ${table} ${reason}: the history gives ${isA && !isB ? 'none' : 'another'}`,
      });
    }
    rows += 1;
    if (isA) one = await before.next();
    if (isB) other = await after.next();
  }
  return rows;
}

/** Rows as text in the order of their keys, compared byte by byte. */
async function* rowsOf(
  tx: Tx,
  table: string,
  key: readonly string[],
): AsyncGenerator<Row, undefined> {
  const keyText = `jsonb_build_array(${key.map((column) => `t."${column}"`).join(', ')})::text`;
  await tx.run(
    `DECLARE "rows of ${table}" NO SCROLL CURSOR FOR
     SELECT ${keyText} COLLATE "C" AS key, to_jsonb(t)::text AS row FROM "${table}" t ORDER BY 1`,
  );
  for (;;) {
    const page = await tx.query<Row>(`FETCH ${ROWS_A_PAGE} FROM "rows of ${table}"`);
    yield* page;
    if (page.length < ROWS_A_PAGE) return undefined;
  }
}

/** The row by the mark of the entry that it came from, where it says which. */
async function whatRow(tx: Tx, text: string): Promise<string> {
  const row = JSON.parse(text) as Record<string, unknown>;
  const seq = row['entry_seq'] ?? row['version'];
  const found =
    typeof seq === 'number'
      ? await tx.first<{ type: string; subject: string | null }>(
          'SELECT type, subject FROM entry WHERE log_id = $1 AND seq = $2',
          [row['log_id'] ?? row['site_id'], seq],
        )
      : undefined;
  if (found !== undefined) return whatIs(found.type, found.subject);
  return typeof row['subject'] === 'string' ? row['subject'] : '';
}
