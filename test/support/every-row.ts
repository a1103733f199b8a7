import type { PgPool } from '#libs/db';

/** Each table of the archive with all its rows as PostgreSQL writes them, in byte order. */
export async function everyRow(pool: PgPool): Promise<Map<string, string[]>> {
  const { rows: tables } = await pool.query<{ name: string }>(
    `SELECT format('%I.%I', schemaname, tablename) AS name FROM pg_tables
     WHERE schemaname IN ('public', 'keeping') ORDER BY 1`,
  );
  const all = new Map<string, string[]>();
  for (const { name } of tables) {
    const { rows } = await pool.query<{ row: string }>(`SELECT t::text AS row FROM ${name} t`);
    all.set(name, rows.map(({ row }) => row).sort());
  }
  return all;
}
