/**
 * Which tables a backup holds and how. *History* only grows and carries no names: it is kept in every
 * generation. *Projections* are made again from the history; only their digest is kept. All the rest
 * (persons, keys of persons, sessions, answers to retries) is *present*: sealed, and kept once, so that
 * an erasure reaches the backup at its next run.
 */
import { PROJECTIONS } from '../tables.js';

/** What is needed of a database at one moment; RowCopies of libs/db is one. */
export interface RowReader {
  query<R>(sql: string, values?: readonly unknown[]): Promise<R[]>;
  copyOut(select: string): AsyncIterable<Uint8Array>;
}

export interface RowWriter {
  query<R>(sql: string, values?: readonly unknown[]): Promise<R[]>;
  copyIn(target: string, source: AsyncIterable<Uint8Array>): Promise<void>;
}

export type TableKind = 'history' | 'projection' | 'present';

export interface BackupTable {
  readonly schema: string;
  readonly name: string;
  /** what is stored; columns that PostgreSQL computes are left out */
  readonly columns: readonly string[];
  /** columns that give the rows their order */
  readonly order: readonly string[];
  readonly kind: TableKind;
}

interface CatalogueRow {
  schema: string;
  name: string;
  columns: string[];
  key: string[] | null;
  isAppendOnly: boolean;
  hasForeignKey: boolean;
}

const CATALOGUE = `
  SELECT n.nspname AS schema, c.relname AS name,
    (SELECT array_agg(a.attname::text ORDER BY a.attnum) FROM pg_attribute a
      WHERE a.attrelid = c.oid AND a.attnum > 0 AND NOT a.attisdropped AND a.attgenerated = '') AS columns,
    (SELECT array_agg(a.attname::text ORDER BY k.place)
      FROM pg_index i, unnest(i.indkey) WITH ORDINALITY AS k(attnum, place), pg_attribute a
      WHERE i.indrelid = c.oid AND i.indisprimary AND a.attrelid = c.oid AND a.attnum = k.attnum) AS key,
    EXISTS (SELECT 1 FROM pg_trigger t WHERE t.tgrelid = c.oid AND t.tgname = 'append_only') AS "isAppendOnly",
    EXISTS (SELECT 1 FROM pg_constraint f WHERE f.conrelid = c.oid AND f.contype = 'f') AS "hasForeignKey"
  FROM pg_class c JOIN pg_namespace n ON n.oid = c.relnamespace
  WHERE n.nspname IN ('public', 'keeping') AND c.relkind IN ('r', 'p')
    AND NOT EXISTS (SELECT 1 FROM pg_depend d WHERE d.objid = c.oid AND d.deptype = 'e')`;

const MIGRATIONS_TABLE = '_prisma_migrations';

/** Every table of the archive, named by the database itself, so that none can be forgotten. */
export async function backupTables(rows: Pick<RowReader, 'query'>): Promise<BackupTable[]> {
  const found = await rows.query<CatalogueRow>(CATALOGUE);
  return found
    .sort(
      (a, b) =>
        Number(a.hasForeignKey) - Number(b.hasForeignKey) || (fullName(a) < fullName(b) ? -1 : 1),
    )
    .map(({ schema, name, columns, key, isAppendOnly }) => ({
      schema,
      name,
      columns,
      order: key ?? columns,
      kind: kindOf(schema, name, isAppendOnly),
    }));
}

function kindOf(schema: string, name: string, isAppendOnly: boolean): TableKind {
  if (schema === 'public' && name in PROJECTIONS) return 'projection';
  return isAppendOnly || name === MIGRATIONS_TABLE ? 'history' : 'present';
}

export function fullName({ schema, name }: { schema: string; name: string }): string {
  return `${schema}.${name}`;
}

export function quotedTable({ schema, name }: { schema: string; name: string }): string {
  return `${quoted(schema)}.${quoted(name)}`;
}

/** All rows, in an order that is the same on every machine. */
export function selectRows(table: Omit<BackupTable, 'kind'>): string {
  const order = table.order.map(quoted).join(', ');
  return `SELECT ${columnList(table)} FROM ${quotedTable(table)} ORDER BY ${order}`;
}

/** Table and columns as COPY wants them. */
export function copyTarget(table: {
  schema: string;
  name: string;
  columns: readonly string[];
}): string {
  return `${quotedTable(table)} (${columnList(table)})`;
}

function columnList({ columns }: { columns: readonly string[] }): string {
  return columns.map(quoted).join(', ');
}

function quoted(name: string): string {
  return `"${name.replaceAll('"', '""')}"`;
}
