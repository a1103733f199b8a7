import { type SqlPool, Tx } from '../tx.js';

/** Runs `work` in a transaction of which nothing stays, however it ends. @param begin the statement that begins it */
export async function rolledBack<T>(
  pool: SqlPool,
  begin: string,
  work: (tx: Tx) => Promise<T>,
): Promise<T> {
  const client = await pool.connect();
  try {
    await client.query(begin);
    return await work(new Tx(client));
  } finally {
    const isBack = await client.query('ROLLBACK').then(
      () => true,
      () => false, // the connection is gone, and with it the transaction
    );
    client.release(!isBack);
  }
}
