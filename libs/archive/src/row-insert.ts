/**
 * One statement for any number of rows of a table: they go over as one JSON array, and PostgreSQL
 * gives each member the type of its column. So a batch costs one round trip a table.
 */

export interface RowTarget {
  readonly table: string;
  /** columns of the key, in camelCase */
  readonly key: readonly string[];
  /** columns that hold JSON */
  readonly json: readonly string[];
  /** what is done when the key is there: write over it, keep what is there, or fail */
  readonly whenThere: 'replace' | 'keep' | 'fail';
}

const texts = new Map<string, string>();

/** @param columns in camelCase, the same for all rows */
export function insertText(target: RowTarget, columns: readonly string[]): string {
  const signature = `${target.table} ${columns.join(' ')}`;
  const known = texts.get(signature);
  if (known !== undefined) return known;
  const list = columns.map(quoted).join(', ');
  const text = `INSERT INTO "${target.table}" (${list})
    SELECT ${list} FROM json_populate_recordset(NULL::"${target.table}", $1::json)${conflict(target, columns)}`;
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

/** Rows as a JSON array of objects with the columns' names; bytes in PostgreSQL's hexadecimal form. */
export function rowsJson(columns: readonly string[], rows: readonly object[]): string {
  const members = columns.map((column) => ({ column, name: snakeCase(column) }));
  return JSON.stringify(
    rows.map((row) => {
      const named: Record<string, unknown> = {};
      for (const { column, name } of members) {
        const value = (row as Record<string, unknown>)[column];
        named[name] = Buffer.isBuffer(value) ? `\\x${value.toString('hex')}` : value;
      }
      return named;
    }),
  );
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
