/**
 * What PostgreSQL itself needs for the rows of a command: those that stand are copied inside it, under new
 * keys, into tables made like theirs. No program writes the same rows faster than that.
 */
import { createPool, type PgClient } from '#libs/db';
import { median } from './append.js';
import type { BenchArchive, BenchSite } from './bench-archive.js';

/** The tables that a finding is written to, with what makes a copy's key new. The log's head is left out. */
const NEW_KEYS: Readonly<Record<string, Readonly<Record<string, string>>>> = {
  entry: { log_id: "'copy'", seq: "nextval('copied_seq')" },
  finding: { finding_id: 'uuidv7()' },
  search_row: { row_id: 'uuidv7()::text' },
  idempotency: { key: "nextval('copied_seq')::text" },
};

/**
 * Commands' rows copied in a second, so many commands a transaction, and the median of a transaction, ms.
 * @param site one whose findings were recorded last, in this run
 */
export async function copiedRows(
  { ownerUrl }: BenchArchive,
  { siteId }: BenchSite,
  atOnce: number,
  seconds: number,
): Promise<{ perSecond: number; medianMs: number }> {
  const pool = createPool(ownerUrl, { max: 1 });
  const client = await pool.connect();
  try {
    const statement = { name: `copied-${atOnce}`, text: await copyText(client, siteId, atOnce) };
    const times: number[] = [];
    const end = performance.now() + seconds * 1000;
    for (let i = 0; i < 20 || performance.now() < end; i++) {
      const begin = performance.now();
      const { rows } = await client.query<{ n: number }>(statement);
      if (rows[0]!.n !== atOnce) throw new Error(`${rows[0]!.n} findings copied, not ${atOnce}`);
      if (i >= 20) times.push(performance.now() - begin);
    }
    return {
      perSecond: (1000 * atOnce * times.length) / times.reduce((sum, ms) => sum + ms, 0),
      medianMs: median(times),
    };
  } finally {
    client.release();
    await pool.end();
  }
}

/** One statement that copies the newest rows of so many findings. */
async function copyText(client: PgClient, siteId: string, atOnce: number): Promise<string> {
  await client.query('CREATE SEQUENCE IF NOT EXISTS copied_seq');
  const newest: Readonly<Record<string, string>> = {
    entry: `log_id = '${siteId}' ORDER BY seq DESC`,
    finding: `site_id = '${siteId}' ORDER BY recorded_at DESC`,
    search_row: `site_id = '${siteId}' AND kind = 'finding' ORDER BY recorded_at DESC`,
    idempotency: 'true ORDER BY kept_at DESC',
  };
  const parts: string[] = [];
  for (const [table, keys] of Object.entries(NEW_KEYS)) {
    const { rows } = await client.query<{ name: string }>(
      `SELECT attname AS name FROM pg_attribute
       WHERE attrelid = $1::regclass AND attnum > 0 AND NOT attisdropped AND attgenerated = ''`,
      [table],
    );
    const columns = rows.map(({ name }) => name);
    // A few hundred rows of their own, so that finding them costs nothing of note.
    await client.query(`CREATE TABLE IF NOT EXISTS source_${table} AS
      SELECT * FROM ${table} WHERE ${newest[table]!} LIMIT ${SOURCES}`);
    await client.query(`CREATE TABLE IF NOT EXISTS copied_${table} (LIKE ${table} INCLUDING ALL)`);
    parts.push(`copy_${table} AS (
      INSERT INTO copied_${table} (${columns.join(', ')})
      SELECT ${columns.map((name) => keys[name] ?? name).join(', ')} FROM source_${table} LIMIT ${atOnce}
      RETURNING 1)`);
  }
  return `WITH ${parts.join(', ')} SELECT count(*)::int AS n FROM copy_finding`;
}

const SOURCES = 256;
