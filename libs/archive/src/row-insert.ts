/**
 * One statement for any number of rows of a table: they go over as one JSON array, and PostgreSQL
 * gives each member the type of its column, or as one binary array a column. So a batch costs one
 * statement a table.
 */
import { type ArrayType, arrayText, binaryArray } from './binary-array.js';

export interface RowTarget {
  readonly table: string;
  /** columns of the key, in camelCase */
  readonly key: readonly string[];
  /** columns that hold JSON */
  readonly json: readonly string[];
  /** what is done when the key is there: write over it, keep what is there, or fail */
  readonly whenThere: 'replace' | 'keep' | 'fail';
  /** types of the columns where the rows go over in binary: for tables that grow with every command */
  readonly types?: Readonly<Record<string, ColumnType>>;
}

/** `date` and `text[]` go over as text. */
export type ColumnType = ArrayType | 'date' | 'text[]';

const texts = new Map<string, string>();

/** @param columns in camelCase, the same for all rows */
export function insertText(target: RowTarget, columns: readonly string[]): string {
  const signature = `${target.table} ${columns.join(' ')}`;
  const known = texts.get(signature);
  if (known !== undefined) return known;
  const list = columns.map(quoted).join(', ');
  const { types } = target;
  const rows =
    types === undefined
      ? `SELECT ${list} FROM json_populate_recordset(NULL::"${target.table}", $1::json)`
      : `SELECT ${columns.map((c) => (sentAs(types[c]!) === types[c] ? quoted(c) : `${quoted(c)}::${types[c]}`)).join(', ')}
         FROM unnest(${columns.map((c, i) => `$${i + 1}::${sentAs(types[c]!)}[]`).join(', ')}) AS row (${list})`;
  const text = `INSERT INTO "${target.table}" (${list}) ${rows}${conflict(target, columns)}`;
  texts.set(signature, text);
  return text;
}

function conflict({ key, whenThere }: RowTarget, columns: readonly string[]): string {
  if (whenThere === 'fail') return '';
  const changes = columns.filter((column) => !key.includes(column));
  const on = ` ON CONFLICT (${key.map(quoted).join(', ')}) DO`;
  return whenThere === 'keep' || changes.length === 0
    ? `${on} NOTHING`
    : `${on} UPDATE SET ${changes.map((c) => `${quoted(c)} = EXCLUDED.${quoted(c)}`).join(', ')}`;
}

/** Values of the statement: one JSON text, or an array a column. */
export function insertValues(
  { types }: RowTarget,
  columns: readonly string[],
  rows: readonly object[],
): unknown[] {
  if (types === undefined) return [rowsJson(columns, rows)];
  return columns.map((column) => {
    const type = types[column]!;
    const values = rows.map((row) => (row as Record<string, unknown>)[column]);
    return type === 'text[]'
      ? binaryArray(
          'text',
          values.map((value) => value && arrayText(value as string[])),
        )
      : binaryArray(sentAs(type), values);
  });
}

function sentAs(type: ColumnType): ArrayType {
  return type === 'date' || type === 'text[]' ? 'text' : type;
}

/**
 * One row, put in for each row of `from` (a row of a statement that this one is part of).
 * @param first number of its first parameter
 */
export function rowText(
  target: RowTarget,
  columns: readonly string[],
  first: number,
  from: string,
): string {
  const list = columns.map(quoted).join(', ');
  const { types } = target;
  const row =
    types === undefined
      ? `SELECT ${list} FROM ${from}, json_populate_record(NULL::"${target.table}", $${first}::json)`
      : `SELECT ${columns.map((c, i) => `$${first + i}::${types[c]}`).join(', ')} FROM ${from}`;
  return `INSERT INTO "${target.table}" (${list}) ${row}${conflict(target, columns)}`;
}

/** Values of its parameters: one JSON text, or a value a column. */
export function rowValues(
  { types }: RowTarget,
  columns: readonly string[],
  row: Readonly<Record<string, unknown>>,
): unknown[] {
  if (types === undefined) return [JSON.stringify(named(columns, row))];
  return columns.map((column) => {
    const value = row[column] ?? null;
    const isJson = types[column] === 'json' || types[column] === 'jsonb';
    return value !== null && isJson ? JSON.stringify(value) : value;
  });
}

/** Rows as a JSON array of objects with the columns' names. */
function rowsJson(columns: readonly string[], rows: readonly object[]): string {
  return JSON.stringify(rows.map((row) => named(columns, row as Record<string, unknown>)));
}

/** A row under the columns' names; bytes in PostgreSQL's hexadecimal form. */
function named(
  columns: readonly string[],
  row: Readonly<Record<string, unknown>>,
): Record<string, unknown> {
  const members: Record<string, unknown> = {};
  for (const column of columns) {
    const value = row[column];
    members[snakeCase(column)] = Buffer.isBuffer(value) ? `\\x${value.toString('hex')}` : value;
  }
  return members;
}

const names = new Map<string, string>();

/** `entrySeq` → `"entry_seq"` */
export function quoted(key: string): string {
  return `"${snakeCase(key)}"`;
}

/** `entrySeq` → `entry_seq` */
export function snakeCase(key: string): string {
  let name = names.get(key);
  if (name === undefined) {
    name = key.replace(/[A-Z]/g, (letter) => `_${letter.toLowerCase()}`);
    names.set(key, name);
  }
  return name;
}
