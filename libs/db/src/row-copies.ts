/**
 * Rows of whole tables in and out, in the text form of COPY: canonical for each type, the same on
 * every major version of PostgreSQL, one line a row (a line break inside a value is written `\n`).
 */
import { pipeline } from 'node:stream/promises';
import pg from 'pg';
import { from as copyFrom, to as copyTo } from 'pg-copy-streams';

// Every setting that the text of a value depends on.
const TEXT_FORM = `
  SET LOCAL datestyle = 'ISO, YMD';
  SET LOCAL intervalstyle = 'iso_8601';
  SET LOCAL timezone = 'UTC';
  SET LOCAL bytea_output = 'hex';
  SET LOCAL extra_float_digits = 1;
  SET LOCAL client_encoding = 'UTF8'`;

export class RowCopies {
  private constructor(private readonly client: pg.Client) {}

  /**
   * One moment of the database: what others write meanwhile is not seen, and nobody waits for us.
   * @param url of a role that may read every table
   */
  static async ofMoment(url: string): Promise<RowCopies> {
    return RowCopies.open(url, 'BEGIN ISOLATION LEVEL REPEATABLE READ READ ONLY');
  }

  /** One transaction that writes: all of it on `commit`, nothing after `close` alone. */
  static async intoTransaction(url: string): Promise<RowCopies> {
    return RowCopies.open(url, 'BEGIN');
  }

  private static async open(url: string, begin: string): Promise<RowCopies> {
    const client = new pg.Client({ connectionString: url });
    client.on('error', () => undefined); // the statement under way tells it
    await client.connect();
    try {
      await client.query(begin);
      await client.query(TEXT_FORM);
    } catch (error) {
      await client.end();
      throw error;
    }
    return new RowCopies(client);
  }

  async query<R>(sql: string, values: readonly unknown[] = []): Promise<R[]> {
    return (await this.client.query(sql, [...values])).rows as R[];
  }

  /** Bytes of `COPY (select) TO STDOUT`, in pieces that need not end with a row. */
  copyOut(select: string): AsyncIterable<Uint8Array> {
    return this.client.query(copyTo(`COPY (${select}) TO STDOUT`));
  }

  /** @param target table and columns, quoted: `"entry" ("log_id", "seq")` */
  async copyIn(target: string, source: AsyncIterable<Uint8Array>): Promise<void> {
    await pipeline(source, this.client.query(copyFrom(`COPY ${target} FROM STDIN`)));
  }

  async commit(): Promise<void> {
    await this.client.query('COMMIT');
  }

  /** Ends the connection; what was not committed is undone. */
  async close(): Promise<void> {
    await this.client.end();
  }
}
