/**
 * The transaction of a batch. Rows that commands put are kept back and written a table at a time;
 * statements go out without waiting for the one before (the connection keeps their order). A command
 * still sees all that was written before it: a row asked for by its key is found among those kept
 * back, any other question first writes the tables that it is about.
 */
import { keyText, type Lookup } from './lookup.js';
import { plainJson } from './plain-json.js';
import type { RowTarget } from './row-insert.js';
import { type SqlClient, type SqlResult, type Tables, Tx } from './tx.js';

interface KeptBack {
  readonly target: RowTarget;
  readonly columns: readonly string[];
  readonly signature: string;
  readonly rows: Map<string, Record<string, unknown>>;
}

export interface OneRow {
  readonly target: RowTarget;
  readonly columns: readonly string[];
  /** the columns as one text */
  readonly signature: string;
  readonly row: Readonly<Record<string, unknown>>;
}

/** A question that a command asked before its log was locked. */
export interface Asked {
  readonly lookup: Lookup<unknown>;
  readonly key: readonly (string | number)[];
  /** the answer that was taken from memory, or none where none is expected */
  readonly supposed?: readonly unknown[];
  /** no answer is supposed, and the database refuses the row when there is one */
  readonly isGuarded?: boolean;
}

export class BatchTx extends Tx {
  readonly #keptBack = new Map<string, KeptBack>();
  readonly #answers = new Map<Lookup<unknown>, Map<string, unknown[]>>();
  #sent: Promise<void>[] = [];
  #failure: Error | undefined;
  #changes = 0;
  readonly #written = new Set<string>();
  #begin: (() => void) | undefined;

  /** @param begin sends what has to go before the first statement; left out where it was sent */
  constructor(client: SqlClient, begin?: () => void) {
    super(client);
    this.#begin = begin;
  }

  protected override get client(): SqlClient {
    this.begin();
    return super.client;
  }

  /** Sends what goes before the first statement. */
  begin(): void {
    const begin = this.#begin;
    this.#begin = undefined;
    begin?.();
  }

  /** Whether nothing was sent yet. */
  get isUnsent(): boolean {
    return this.#begin !== undefined;
  }

  /** The rows kept back when they are one a table, in the order of their tables; else undefined. */
  get single(): readonly OneRow[] | undefined {
    const tables = [...this.#keptBack.values()];
    if (tables.some(({ rows }) => rows.size !== 1)) return undefined;
    return tables.map(({ target, columns, signature, rows }) => {
      const [row] = rows.values() as unknown as [Record<string, unknown>];
      return { target, columns, signature, row };
    });
  }

  /** Tables that were written; `all` when a statement did not say. */
  get written(): Tables {
    return this.#written.has('all') ? 'all' : [...this.#written];
  }

  /** Answers that still hold, by lookup and key. */
  get answers(): ReadonlyMap<Lookup<unknown>, ReadonlyMap<string, readonly unknown[]>> {
    return this.#answers;
  }

  /** Rises with everything that a command writes: a command that raised it left a trace. */
  get changes(): number {
    return this.#changes;
  }

  /** The first error of a statement that nobody waited for. */
  get failure(): Error | undefined {
    return this.#failure;
  }

  /** Asks many questions at once and remembers the answers, each until its rows are written. */
  async foresee(asked: readonly Asked[]): Promise<void> {
    const byLookup = new Map<Lookup<unknown>, Map<string, Asked['key']>>();
    for (const { lookup, key } of asked) {
      const keys = byLookup.get(lookup) ?? new Map<string, Asked['key']>();
      byLookup.set(lookup, keys.set(keyText(key), key));
    }
    await Promise.all(
      [...byLookup].map(async ([lookup, keys]) => {
        const rows = await this.askAll(lookup, [...keys.values()]);
        const answers = new Map<string, unknown[]>([...keys.keys()].map((key) => [key, []]));
        for (const row of rows) answers.get(keyText(lookup.keyOf(row)))?.push(row);
        this.#answers.set(lookup, answers);
      }),
    );
  }

  /** Takes what is supposed for the answers, each until its rows are written. */
  suppose(asked: readonly Asked[]): void {
    for (const { lookup, key, supposed } of asked) {
      if (supposed === undefined) continue;
      const answers = this.#answers.get(lookup) ?? new Map<string, unknown[]>();
      this.#answers.set(lookup, answers.set(keyText(key), supposed as unknown[]));
    }
  }

  override async ask<R>(lookup: Lookup<R>, ...key: readonly (string | number)[]): Promise<R[]> {
    const text = keyText(key);
    const asked = lookup as Lookup<unknown>;
    const known = this.#answers.get(asked)?.get(text);
    if (known !== undefined) return known as R[];
    if (lookup.rowOf === undefined)
      this.#writeKeptBack([...lookup.tables, ...(lookup.appended ?? [])]);
    else {
      const table = this.#keptBack.get(lookup.rowOf);
      const row = table?.rows.get(text);
      if (row !== undefined) return [asRead(table!, row) as R];
    }
    const rows = await this.askAll(lookup, [key]);
    const answers = this.#answers.get(asked) ?? new Map<string, unknown[]>();
    this.#answers.set(asked, answers.set(text, rows));
    return rows;
  }

  override query<R>(
    text: string,
    values?: readonly unknown[],
    reads: Tables = 'all',
  ): Promise<R[]> {
    this.#writeKeptBack(reads);
    return super.query<R>(text, values);
  }

  override run(text: string, values?: readonly unknown[], writes: Tables = 'all'): Promise<number> {
    this.#beforeWrite(writes);
    return super.run(text, values);
  }

  /** An error shows at `settled` or `commit`. */
  override write(text: string, values?: readonly unknown[], writes?: Tables): Promise<void> {
    this.#send(this.run(text, values, writes));
    return Promise.resolve();
  }

  override writePrepared(text: string, values: unknown[], writes: Tables = 'all'): Promise<void> {
    this.#beforeWrite(writes);
    this.#send(super.writePrepared(text, values));
    return Promise.resolve();
  }

  override put(target: RowTarget, row: object): Promise<void> {
    this.#changes += 1;
    const columns = Object.keys(row);
    const signature = columns.join(' ');
    let table = this.#keptBack.get(target.table);
    if (table !== undefined && table.signature !== signature) {
      this.#writeKeptBack([target.table]);
      table = undefined;
    }
    if (table === undefined) {
      table = { target, columns, signature, rows: new Map() };
      this.#keptBack.set(target.table, table);
    }
    const values = row as Record<string, unknown>;
    const key = keyText(target.key.map((column) => values[column] as string | number));
    if (target.whenThere === 'fail' && table.rows.has(key)) this.#writeKeptBack([target.table]);
    if (target.whenThere !== 'keep' || !table.rows.has(key)) table.rows.set(key, values);
    this.#forget([target.table], key);
    return Promise.resolve();
  }

  override changeKeptBack(
    table: string,
    key: readonly (string | number)[],
    changes: object,
  ): boolean {
    const kept = this.#keptBack.get(table);
    const text = keyText(key);
    const row = kept?.rows.get(text);
    if (row === undefined || !Object.keys(changes).every((c) => kept!.columns.includes(c)))
      return false;
    this.#changes += 1;
    kept!.rows.set(text, { ...row, ...changes });
    this.#forget([table], text);
    return true;
  }

  override get forJobs(): Tx['forJobs'] {
    const { executeSql } = super.forJobs;
    return {
      executeSql: (text, values) => {
        this.#changes += 1;
        return executeSql(text, values);
      },
    };
  }

  /**
   * Sends rows that no other log's batch can meet, so that the database writes them while the next
   * commands are decided.
   */
  sendOwnRows(): void {
    const own = [...this.#keptBack.values()].filter(({ target }) => isOfOneLog(target));
    this.#writeKeptBack(own.map(({ target }) => target.table));
  }

  /** Writes all that is kept back and waits for it. @throws the first error since the last time */
  async settled(): Promise<void> {
    this.#writeKeptBack('all');
    const sent = this.#sent;
    this.#sent = [];
    await Promise.all(sent);
    if (this.#failure !== undefined) throw this.#failure;
  }

  /** @returns whether PostgreSQL says that it is committed; false when it rolled back instead */
  async commit(): Promise<boolean> {
    this.#writeKeptBack('all');
    const end = this.client.query('COMMIT').then(
      (result: SqlResult) => result.command === 'COMMIT',
      (error: unknown) => {
        this.#failure ??= error as Error;
        return false;
      },
    );
    await Promise.all(this.#sent);
    return (await end) && this.#failure === undefined;
  }

  /** Ends the transaction without a trace. @throws when the connection is gone */
  async rollBack(): Promise<void> {
    this.#keptBack.clear();
    if (this.isUnsent) return;
    await this.client.query('ROLLBACK');
    await Promise.all(this.#sent);
  }

  /** Drops what is kept back and what is remembered: the database went back to a savepoint. */
  forget(): void {
    this.#keptBack.clear();
    this.#answers.clear();
    this.#failure = undefined;
  }

  #writeKeptBack(tables: Tables): void {
    for (const [name, { target, columns, rows }] of this.#keptBack) {
      if (tables !== 'all' && !tables.includes(name)) continue;
      this.#keptBack.delete(name);
      this.#send(this.insert(target, columns, inOrder(target, rows)));
    }
  }

  #send(statement: Promise<unknown>): void {
    this.#sent.push(
      statement.then(
        () => undefined,
        (error: unknown) => {
          this.#failure ??= error as Error;
        },
      ),
    );
  }

  /** Rows kept back for these tables go first, and what is known of them holds no longer. */
  #beforeWrite(writes: Tables): void {
    this.#changes += 1;
    this.#writeKeptBack(writes);
    this.#forget(writes);
  }

  /** @param key of the one row that was written; left out: any row of the tables */
  #forget(tables: Tables, key?: string): void {
    for (const table of tables === 'all' ? ['all'] : tables) this.#written.add(table);
    for (const [lookup, answers] of this.#answers) {
      if (tables !== 'all' && !lookup.tables.some((table) => tables.includes(table))) continue;
      if (key !== undefined && lookup.rowOf !== undefined) answers.delete(key);
      else this.#answers.delete(lookup);
    }
  }
}

// Batches of two logs may meet in a table of both: in one order they wait, never for each other.
function inOrder<R>(target: RowTarget, rows: ReadonlyMap<string, R>): R[] {
  if (isOfOneLog(target)) return [...rows.values()];
  return [...rows].sort(([a], [b]) => (a < b ? -1 : 1)).map(([, row]) => row);
}

/** Whether the table's rows are written by batches of one log alone. */
function isOfOneLog({ whenThere, key }: RowTarget): boolean {
  return whenThere === 'replace' || key[0] === 'logId';
}

/** A row kept back as PostgreSQL would answer it. */
function asRead({ target, columns }: KeptBack, row: Record<string, unknown>): unknown {
  const read: Record<string, unknown> = {};
  for (const column of columns) {
    const value = row[column] ?? null;
    read[column] = value !== null && target.json.includes(column) ? plainJson(value) : value;
  }
  return read;
}
