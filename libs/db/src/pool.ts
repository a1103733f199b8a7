/** Connections for writing: plain SQL through `pg`, each transaction on one connection. */
import pg from 'pg';

export type PgPool = pg.Pool;
export type PgClient = pg.PoolClient;

/**
 * Statements on one connection go out without waiting for the answer to the one before.
 * @param max connections; the server and the worker share the database's limit of 100
 * @param settings of PostgreSQL, for the statements of these connections
 */
export function createPool(
  databaseUrl: string,
  { max = 10, settings = {} }: { max?: number; settings?: Readonly<Record<string, string>> } = {},
): PgPool {
  const options = Object.entries(settings).map(([name, value]) => `-c ${name}=${value}`);
  const pool = new pg.Pool({
    connectionString: databaseUrl,
    max,
    pipeline: true,
    ...(options.length === 0 ? {} : { options: options.join(' ') }),
  });
  // An idle connection that breaks is replaced by the pool; without a listener it would end the process.
  // One that is told to go while the pool ends is lost to nobody.
  pool.on('error', (error) => {
    if (pool.ending) return;
    console.error(`a connection to the database was lost: ${error.message}`);
  });
  // One that breaks while it is lent out and between two queries has no listener but this; whoever holds
  // it is told by its next query.
  pool.on('connect', (client) => {
    client.on('error', () => undefined);
  });
  return pool;
}

/** Runs `work` in one transaction: committed when it resolves, rolled back when it throws. */
export async function withTransaction<T>(
  pool: PgPool,
  work: (client: PgClient) => Promise<T>,
): Promise<T> {
  const client = await pool.connect();
  let broken: Error | undefined;
  try {
    await client.query('begin');
    const result = await work(client);
    await client.query('commit');
    return result;
  } catch (error) {
    try {
      await client.query('rollback');
    } catch (rollbackError) {
      broken = rollbackError as Error; // the connection is gone, and with it the transaction
    }
    throw error;
  } finally {
    client.release(broken);
  }
}
