/**
 * Rows of a backup into an empty database that stands at the very tables the backup was made from:
 * history and present as they were, each table's digest compared.
 */
import { createHash } from 'node:crypto';
import type { BackupPlace } from './backup-place.js';
import {
  backupTables,
  copyTarget,
  fullName,
  quotedTable,
  type RowWriter,
} from './backup-tables.js';
import { BackupFault, type Manifest } from './manifest.js';
import { unpacked } from './row-chunks.js';
import type { OpenedPart } from './sealed-part.js';

interface RowsToFill {
  readonly schema: string;
  readonly name: string;
  readonly columns: readonly string[];
  readonly digest: string;
  chunks(): AsyncIterable<Uint8Array>;
}

/** @throws BackupFault when a chunk is damaged or the tables are others */
export async function fillDatabase(
  writer: RowWriter,
  place: BackupPlace,
  manifest: Manifest,
  part: OpenedPart,
): Promise<void> {
  const tables = await backupTables(writer);
  const known = new Map(tables.map((table) => [fullName(table), table]));
  const filled = new Map<string, RowsToFill>();
  for (const rows of [...historyRows(place, manifest), ...presentRows(part)]) {
    filled.set(fullName(rows), rows);
  }
  const unknown = [...filled.values()].filter((rows) => !known.has(fullName(rows)));
  if (unknown.length > 0) {
    throw new BackupFault(
      `The backup has tables that this program does not make: ${unknown.map(fullName).join(', ')}. Use the version that made it, or a newer one.`,
    );
  }
  for (const table of tables) {
    const rows = filled.get(fullName(table));
    // history refuses changes by triggers of the owner's own; here it is written for the first time
    await writer.query(`ALTER TABLE ${quotedTable(table)} DISABLE TRIGGER USER`);
    await writer.query(`DELETE FROM ${quotedTable(table)}`);
    if (rows !== undefined) await fillTable(writer, rows);
    await writer.query(`ALTER TABLE ${quotedTable(table)} ENABLE TRIGGER USER`);
    await setSequences(writer, table);
  }
}

async function fillTable(writer: RowWriter, rows: RowsToFill): Promise<void> {
  const hash = createHash('sha256');
  const hashed = async function* () {
    for await (const bytes of rows.chunks()) {
      hash.update(bytes);
      yield bytes;
    }
  };
  await writer.copyIn(copyTarget(rows), hashed());
  if (`sha256:${hash.digest('hex')}` === rows.digest) return;
  throw new BackupFault(`The rows of ${fullName(rows)} are not those that the manifest names.`);
}

/** Numbers that the database gives out itself go on after the highest that is there. */
async function setSequences(
  writer: RowWriter,
  table: { schema: string; name: string; columns: readonly string[] },
): Promise<void> {
  for (const column of table.columns) {
    const [found] = await writer.query<{ sequence: string | null }>(
      'SELECT pg_get_serial_sequence($1, $2) AS sequence',
      [quotedTable(table), column],
    );
    if (found?.sequence == null) continue;
    await writer.query(
      `SELECT setval($1::regclass, max("${column}"), true) FROM ${quotedTable(table)} HAVING count(*) > 0`,
      [found.sequence],
    );
  }
}

function historyRows(place: BackupPlace, manifest: Manifest): RowsToFill[] {
  return manifest.history.map(({ chunks, ...table }) => ({
    ...table,
    async *chunks() {
      const what = `the rows of ${fullName(table)} in generation ${manifest.generation}`;
      for (const { digest } of chunks) yield await unpacked(await place.chunk(digest, what));
    },
  }));
}

function presentRows(part: OpenedPart): RowsToFill[] {
  return part.index.tables.map(({ chunks, ...table }) => ({
    ...table,
    async *chunks() {
      for (const number of chunks) yield await part.chunk(number);
    },
  }));
}
