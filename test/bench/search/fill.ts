/** A home whose search rows are those of a million acts and two million findings, filled in parts. */
import { Readable } from 'node:stream';
import { applyStandingSql, createPool, type PgClient, RowCopies } from '#libs/db';
import { type BenchRow, benchRow, benchSiteCode, benchSiteId, SITES } from './rows.js';

const ROWS_AT_ONCE = 50_000;
const COLUMNS = [
  'site_id',
  'row_id',
  'kind',
  'subject',
  'window_mark',
  'happened',
  'earliest',
  'latest',
  'happened_sure',
  'keys',
  'title',
  'text',
  'recorded_at',
];

/**
 * Goes on where an earlier call stopped.
 *
 * @param seconds after which no further part is begun
 * @returns whether all rows are there, with their indexes
 */
export async function fillSearch(
  ownerUrl: string,
  total: number,
  seconds: number,
): Promise<boolean> {
  const pool = createPool(ownerUrl, { max: 1 });
  const client = await pool.connect();
  const until = performance.now() + seconds * 1000;
  try {
    let done = await countRows(client);
    if (done === 0) await addSites(client);
    // an index over rows that are there already is made in a fraction of the time
    if (done < total)
      await client.query('DROP INDEX IF EXISTS search_row_found, search_row_newest');
    while (done < total && performance.now() < until) {
      const to = Math.min(total, done + ROWS_AT_ONCE);
      await copyRows(ownerUrl, done, to, total);
      done = to;
      console.log(`filled ${done} of ${total}`);
    }
    if (done < total) return false;
    await client.query("SET maintenance_work_mem = '1GB'");
    const { rows } = await client.query(
      "SELECT 1 FROM pg_indexes WHERE indexname = 'search_row_found'",
    );
    if (rows.length === 0) {
      await applyStandingSql(ownerUrl);
      await client.query('VACUUM ANALYZE search_row');
    }
    return true;
  } finally {
    client.release();
    await pool.end();
  }
}

async function countRows(client: PgClient): Promise<number> {
  const { rows } = await client.query<{ n: number }>('SELECT count(*)::int AS n FROM search_row');
  return rows[0]!.n;
}

async function addSites(client: PgClient): Promise<void> {
  for (let site = 0; site < SITES; site++) {
    await client.query(
      `INSERT INTO site (site_id, code, unit, name, scheme, place, version, added_at)
       VALUES ($1, $2, NULL, $2, 'church', NULL, 1, '1987-01-05') ON CONFLICT DO NOTHING`,
      [benchSiteId(site), benchSiteCode(site)],
    );
  }
}

async function copyRows(ownerUrl: string, from: number, to: number, total: number): Promise<void> {
  const copies = await RowCopies.intoTransaction(ownerUrl);
  try {
    await copies.copyIn(
      `search_row (${COLUMNS.join(', ')})`,
      Readable.from(lines(from, to, total)),
    );
    await copies.commit();
  } finally {
    await copies.close();
  }
}

function* lines(from: number, to: number, total: number): Generator<Buffer> {
  for (let i = from; i < to; ) {
    const some: string[] = [];
    for (; i < to && some.length < 500; i++) some.push(line(benchRow(i, total)));
    yield Buffer.from(some.join(''));
  }
}

/** A row in COPY's text format. */
function line(row: BenchRow): string {
  const keys = `{${row.keys.map((key) => `"${key.replace(/["\\]/g, '\\$&')}"`).join(',')}}`;
  const values = [
    row.siteId,
    row.rowId,
    row.kind,
    row.subject,
    row.windowMark,
    row.happened,
    row.earliest,
    row.latest,
    String(row.happenedSure),
    keys,
    row.title,
    row.text,
    row.recordedAt.toISOString(),
  ];
  return `${values.map((value) => (value === null ? '\\N' : value.replace(/[\\\t\n\r]/g, (c) => (c === '\\' ? '\\\\' : ' ')))).join('\t')}\n`;
}
