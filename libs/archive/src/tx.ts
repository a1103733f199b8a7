/**
 * One connection inside a transaction (or a pool, for reads), with rows as the program names them:
 * columns in camelCase, `bigint` as number (versions and sizes stay below 2⁵³).
 */

/** What is needed of a `pg` pool client; libs/db owns the real one. */
export interface SqlClient {
  query(text: string, values?: unknown[]): Promise<SqlResult>;
}

export interface SqlResult {
  rows: Record<string, unknown>[];
  rowCount: number | null;
  fields: { name: string; dataTypeID: number }[];
}

export interface SqlPoolClient extends SqlClient {
  release(error?: Error | boolean): void;
}

export interface SqlPool extends SqlClient {
  connect(): Promise<SqlPoolClient>;
}

const INT8_OID = 20; // pg_type: bigint, which pg hands over as text

export class Tx {
  constructor(private readonly client: SqlClient) {}

  async query<R>(text: string, values: readonly unknown[] = []): Promise<R[]> {
    const result = await this.client.query(text, [...values]);
    const columns = result.fields.map(({ name, dataTypeID }) => ({
      name,
      key: camelCase(name),
      isInt8: dataTypeID === INT8_OID,
    }));
    return result.rows.map((row) => {
      const out: Record<string, unknown> = {};
      for (const { name, key, isInt8 } of columns) {
        const value = row[name];
        out[key] = isInt8 && typeof value === 'string' ? Number(value) : value;
      }
      return out as R;
    });
  }

  /** Rows touched. */
  async run(text: string, values: readonly unknown[] = []): Promise<number> {
    return (await this.client.query(text, [...values])).rowCount ?? 0;
  }

  /** First row, if any. */
  async first<R>(text: string, values: readonly unknown[] = []): Promise<R | undefined> {
    return (await this.query<R>(text, values))[0];
  }

  /** The connection as pg-boss wants it, so that a job is queued in this very transaction. */
  get forJobs(): { executeSql(text: string, values?: unknown[]): Promise<SqlResult> } {
    return { executeSql: (text, values) => this.client.query(text, values) };
  }
}

export function camelCase(column: string): string {
  return column.replace(/_([a-z0-9])/g, (_, letter: string) => letter.toUpperCase());
}

export function snakeCase(key: string): string {
  return key.replace(/[A-Z]/g, (letter) => `_${letter.toLowerCase()}`);
}
