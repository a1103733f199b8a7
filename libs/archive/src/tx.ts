/**
 * One connection inside a transaction (or a pool, for reads), with rows as the program names them:
 * columns in camelCase, `bigint` as number (versions and sizes stay below 2⁵³).
 */
import { createHash } from 'node:crypto';
import { type Lookup, lookupValues } from './lookup.js';
import { insertText, insertValues, type RowTarget } from './row-insert.js';

/** A statement that the connection prepares once under its name. */
export interface NamedStatement {
  readonly name: string;
  readonly text: string;
  readonly values: unknown[];
}

/** What is needed of a `pg` pool client; libs/db owns the real one. */
export interface SqlClient {
  query(text: string, values?: unknown[]): Promise<SqlResult>;
  query(statement: NamedStatement): Promise<SqlResult>;
}

export interface SqlResult {
  rows: Record<string, unknown>[];
  rowCount: number | null;
  fields: { name: string; dataTypeID: number }[];
  /** what was done, as the server says it: INSERT, COMMIT, … */
  command?: string;
}

export interface SqlPoolClient extends SqlClient {
  release(error?: Error | boolean): void;
}

export interface SqlPool extends SqlClient {
  connect(): Promise<SqlPoolClient>;
}

const INT8_OID = 20; // pg_type: bigint, which pg hands over as text

/** Tables that a statement reads or writes; `all` when nobody said. */
export type Tables = readonly string[] | 'all';

export class Tx {
  readonly #client: SqlClient;

  constructor(client: SqlClient) {
    this.#client = client;
  }

  protected get client(): SqlClient {
    return this.#client;
  }

  /** @param _reads the tables read, so that rows kept back for other tables need not be written first */
  async query<R>(text: string, values: readonly unknown[] = [], _reads?: Tables): Promise<R[]> {
    return rowsOf<R>(await this.client.query(text, [...values]));
  }

  /**
   * Rows touched.
   * @param _writes the tables written, so that what is remembered of other tables still holds
   */
  async run(text: string, values: readonly unknown[] = [], _writes?: Tables): Promise<number> {
    return (await this.client.query(text, [...values])).rowCount ?? 0;
  }

  /**
   * As `first`, by a statement that the connection prepares once: for constant texts over tables that
   * stay small (a prepared plan is not made anew while its table grows), with every column named.
   */
  async firstPrepared<R>(text: string, values: unknown[]): Promise<R | undefined> {
    return rowsOf<R>(await this.client.query(prepared(text, values)))[0];
  }

  /** As `run`, when nobody needs the number: a batch goes on without waiting for it. */
  async write(text: string, values: readonly unknown[] = [], writes?: Tables): Promise<void> {
    await this.run(text, values, writes);
  }

  /** As `write`, by a statement that the connection prepares once: see `firstPrepared`. */
  async writePrepared(text: string, values: unknown[], _writes?: Tables): Promise<void> {
    await this.client.query(prepared(text, values));
  }

  /** First row, if any. */
  async first<R>(
    text: string,
    values: readonly unknown[] = [],
    reads?: Tables,
  ): Promise<R | undefined> {
    return (await this.query<R>(text, values, reads))[0];
  }

  /** The rows that a key leads to. Many keys of one lookup are asked at once where that is possible. */
  async ask<R>(lookup: Lookup<R>, ...key: readonly (string | number)[]): Promise<R[]> {
    return this.askAll(lookup, [key]);
  }

  /** The rows of several keys, in no order. */
  protected async askAll<R>(
    lookup: Lookup<R>,
    keys: readonly (readonly (string | number)[])[],
  ): Promise<R[]> {
    const values = lookupValues(lookup, keys);
    if (lookup.steadyIn === undefined && lookup.isPrepared !== true)
      return rowsOf<R>(await this.client.query(lookup.text, values));
    const texts = textsNamed.get(this.client) ?? new Map<string, string>();
    const named = texts.get(lookup.text);
    if (named !== undefined) return rowsOf<R>(await this.client.query(prepared(named, values)));
    const result = await this.client.query(lookup.text, values);
    textsNamed.set(this.client, texts.set(lookup.text, withColumns(lookup.text, result)));
    return rowsOf<R>(result);
  }

  /** Writes a row; what happens when its key is there stands in the target. */
  async put(target: RowTarget, row: object): Promise<void> {
    await this.insert(target, Object.keys(row), [row]);
  }

  /**
   * Changes a row that was put and not yet written.
   * @returns false when there is no such row: change it in the database
   */
  changeKeptBack(_table: string, _key: readonly (string | number)[], _changes: object): boolean {
    return false;
  }

  protected async insert(
    target: RowTarget,
    columns: readonly string[],
    rows: readonly object[],
  ): Promise<number> {
    const values = insertValues(target, columns, rows);
    const result = await this.client.query(prepared(insertText(target, columns), values));
    return result.rowCount ?? 0;
  }

  /** The connection as pg-boss wants it, so that a job is queued in this very transaction. */
  get forJobs(): {
    readonly executeSql: (text: string, values?: unknown[]) => Promise<SqlResult>;
  } {
    return { executeSql: (text, values) => this.client.query(text, values) };
  }
}

const names = new Map<string, string>();

/**
 * Texts of lookups as a connection prepares them, with the columns it found: a prepared `SELECT t.*` fails
 * once a later version adds a column.
 */
const textsNamed = new WeakMap<SqlClient, Map<string, string>>();

function withColumns(text: string, { fields }: SqlResult): string {
  return text.replace(/\bt\.\*/, fields.map(({ name }) => `t."${name}"`).join(', '));
}

/** A statement under a name of its own for its text. */
export function prepared(text: string, values: unknown[]): NamedStatement {
  let name = names.get(text);
  if (name === undefined) {
    name = `m_${createHash('sha256').update(text).digest('hex').slice(0, 24)}`;
    names.set(text, name);
  }
  return { name, text, values };
}

function rowsOf<R>(result: SqlResult): R[] {
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

export function camelCase(column: string): string {
  return column.replace(/_([a-z0-9])/g, (_, letter: string) => letter.toUpperCase());
}
