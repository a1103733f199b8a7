import { PROJECTIONS } from '#libs/archive';
import type { PgPool } from '#libs/db';

/** Every row of every projection, in the order of its key. */
export async function projectionDump(
  pool: PgPool,
): Promise<Record<string, Record<string, unknown>[]>> {
  const tables: Record<string, Record<string, unknown>[]> = {};
  for (const [table, { key }] of Object.entries(PROJECTIONS)) {
    const order = key.map(
      (name) => `"${name.replace(/[A-Z]/g, (letter) => `_${letter.toLowerCase()}`)}"`,
    );
    const { rows } = await pool.query<Record<string, unknown>>(
      `SELECT * FROM "${table}" ORDER BY ${order.join(', ')}`,
    );
    tables[table] = rows;
  }
  return tables;
}
