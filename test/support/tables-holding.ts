import type { PgPool } from '#libs/db';

/**
 * Tables of the whole database, the queue's too, in which a text stands anywhere in a row, whatever
 * its capitals: how a reader of the disk would look for a name. Bytes are looked into as UTF-8.
 *
 * @param pool of the application's role, which may read every table and owns the queue's
 */
export async function tablesHolding(pool: PgPool, text: string): Promise<string[]> {
  const { rows: tables } = await pool.query<{ name: string; bytes: string[] | null }>(
    `SELECT format('%I.%I', n.nspname, c.relname) AS name,
            array_agg(format('%I', a.attname)) FILTER (WHERE a.atttypid = 'bytea'::regtype) AS bytes
     FROM pg_class c JOIN pg_namespace n ON n.oid = c.relnamespace
     JOIN pg_attribute a ON a.attrelid = c.oid AND a.attnum > 0 AND NOT a.attisdropped
     WHERE c.relkind IN ('r', 'p') AND NOT c.relispartition AND n.nspname !~ '^pg_' AND n.nspname <> 'information_schema'
     GROUP BY 1 ORDER BY 1`,
  );
  const found: string[] = [];
  for (const { name, bytes } of tables) {
    const parts = ['t::text', ...(bytes ?? []).map((column) => `encode(t.${column}, 'escape')`)];
    const { rowCount } = await pool.query(
      `SELECT 1 FROM ${name} t WHERE position(lower($1) in lower(concat_ws(' ', ${parts.join(', ')}))) > 0 LIMIT 1`,
      [text],
    );
    if (rowCount !== 0) found.push(name);
  }
  return found;
}
