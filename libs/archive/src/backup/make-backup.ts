/**
 * One generation of a backup, made while the archive is at work: the database as it stood at one
 * moment, then every object it names. Nothing counts before the signed note is written, and what a
 * run cut short left behind is taken up by the next.
 */
import { createHash, randomBytes } from 'node:crypto';
import { parseOrigin } from '#libs/ledger';
import type { ObjectStore } from '#libs/objects';
import type { ArchiveSigner } from '../signer.js';
import {
  type AbsentObject,
  copyObjects,
  keepObjectList,
  namedObjects,
  withdrawnObjects,
} from './backup-objects.js';
import { type BackupPlace, generationName } from './backup-place.js';
import {
  type BackupTable,
  backupTables,
  fullName,
  type RowReader,
  selectRows,
} from './backup-tables.js';
import { BackupFault, type Manifest, manifestBytes, signManifest } from './manifest.js';
import type { Recipient } from './recipients.js';
import { cutRows, packed } from './row-chunks.js';
import { PartSealer, type SealedIndex } from './sealed-part.js';

/** A private file of the home: a key, a secret. */
export interface PrivateFile {
  readonly name: string;
  readonly mode: number;
  readonly bytes: Uint8Array;
}

export interface BackupSource {
  /** the database at one moment */
  readonly rows: RowReader;
  /** the database as it goes on */
  readonly reads: Pick<RowReader, 'query'>;
  readonly objects: ObjectStore;
  readonly signer: ArchiveSigner;
  readonly files: readonly PrivateFile[];
  readonly isDemo: boolean;
  /** version of the program */
  readonly program: string;
}

export interface BackupOptions {
  /** who can open the sealed part; for a copy beside the database nobody need be named */
  readonly recipients: readonly Recipient[];
  readonly scope?: Manifest['scope'];
  /** Throws when the place is not this archive's; asked before anything is written. */
  readonly refuse?: (archiveId: string) => Promise<void>;
  readonly now?: Date;
  readonly onProgress?: (progress: BackupProgress) => void;
}

export type BackupProgress =
  | { readonly step: 'table'; readonly name: string; readonly rows: number }
  | { readonly step: 'objects'; readonly done: number; readonly of: number };

export interface BackupReport {
  readonly manifest: Manifest;
  readonly copiedObjects: number;
  readonly copiedBytes: number;
  /** objects of the history that the archive's own store has lost */
  readonly absent: readonly AbsentObject[];
}

/** @throws BackupFault when nobody could open what would be sealed */
export async function makeBackup(
  source: BackupSource,
  place: BackupPlace,
  {
    recipients,
    scope = 'whole',
    refuse,
    now = new Date(),
    onProgress = () => undefined,
  }: BackupOptions,
): Promise<BackupReport> {
  if (recipients.length === 0 && scope === 'whole') {
    throw new BackupFault(
      'Nobody could open this backup: give it a passphrase, or print the recovery sheet first.',
    );
  }
  const { rows } = source;
  const logs = await logsOf(rows);
  const archiveId = archiveIdOf(logs);
  await refuse?.(archiveId);
  const tables = await backupTables(rows);
  const tell = (table: BackupTable, count: number) => {
    onProgress({ step: 'table', name: fullName(table), rows: count });
  };
  const history: Manifest['history'] = [];
  const projections: Manifest['projections'] = [];
  const sealer = PartSealer.for(recipients, async (bytes) => (await place.keep(bytes)).digest);
  const present: SealedIndex['tables'] = [];
  for (const table of tables) {
    if (table.kind === 'history') {
      const chunks: Manifest['history'][number]['chunks'] = [];
      const summary = await readTable(rows, table, async (bytes) => {
        chunks.push(await place.keep(await packed(bytes)));
      });
      history.push({ ...summary, chunks });
      tell(table, summary.rows);
    } else if (table.kind === 'projection') {
      projections.push(await readTable(rows, table, () => Promise.resolve()));
    } else {
      const chunks: number[] = [];
      const summary = await readTable(rows, table, async (bytes) => {
        chunks.push(await sealer.add(bytes));
      });
      present.push({ ...summary, chunks });
      tell(table, summary.rows);
    }
  }
  const objects = await namedObjects(rows, tables, source.objects);
  const sealed = await sealer.end({
    files: await sealFiles(source.files, sealer),
    tables: present,
    jobs: await openJobs(rows),
  });

  const copies = await copyObjects(
    // before a change of tables the objects stay where they are: they are only named
    scope === 'whole' ? objects : [],
    source.objects,
    ({ digest, sizeBytes }) => place.holds(digest, sizeBytes),
    place.store,
    (done) => {
      onProgress({ step: 'objects', done, of: objects.length });
    },
  );
  // an original that was withdrawn while we copied is not lost
  const withdrawn = new Set(await withdrawnObjects(source.reads, tables));
  const absent = copies.absent.filter(({ digest }) => !withdrawn.has(digest));
  const lost = new Set(copies.absent.map(({ digest }) => digest));
  const manifest: Manifest = {
    format: 'mullion-backup',
    version: 1,
    scope,
    generation: generationName(now, randomBytes(3).toString('hex')),
    madeAt: now.toISOString(),
    program: source.program,
    archiveId,
    isDemo: source.isDemo,
    publicKey: Buffer.from(source.signer.publicKey).toString('base64'),
    migrations: await appliedMigrations(rows),
    logs,
    history,
    projections,
    objects: {
      ...(await keepObjectList(
        place,
        objects.filter(({ digest }) => !lost.has(digest)),
      )),
      absent,
    },
    sealed,
  };
  await place.seal(manifest, await signManifest(manifest, manifestBytes(manifest), source.signer));
  return {
    manifest,
    copiedObjects: copies.copied,
    copiedBytes: copies.copiedBytes,
    absent,
  };
}

async function readTable(
  rows: RowReader,
  table: BackupTable,
  keep: (bytes: Uint8Array) => Promise<void>,
) {
  const hash = createHash('sha256');
  let count = 0;
  for await (const chunk of cutRows(rows.copyOut(selectRows(table)))) {
    hash.update(chunk.bytes);
    count += chunk.rows;
    await keep(chunk.bytes);
  }
  return {
    schema: table.schema,
    name: table.name,
    columns: [...table.columns],
    rows: count,
    digest: `sha256:${hash.digest('hex')}`,
  };
}

async function sealFiles(files: readonly PrivateFile[], sealer: PartSealer) {
  const sealed: SealedIndex['files'] = [];
  for (const { name, mode, bytes } of files) {
    sealed.push({ name, mode, chunk: await sealer.add(bytes) });
  }
  return sealed;
}

async function logsOf(rows: RowReader): Promise<Manifest['logs']> {
  return (
    await rows.query<{ logId: string; origin: string; size: string; checkpoint: string | null }>(
      `SELECT l.log_id AS "logId", l.origin, l.size,
        (SELECT c.note FROM checkpoint c WHERE c.log_id = l.log_id ORDER BY c.size DESC LIMIT 1) AS checkpoint
       FROM log l ORDER BY l.log_id`,
    )
  ).map((log) => ({ ...log, size: Number(log.size) }));
}

function archiveIdOf(logs: Manifest['logs']): string {
  const studio = logs.map(({ origin }) => parseOrigin(origin)).find((one) => one?.log === 'studio');
  if (studio === undefined) {
    throw new BackupFault('This archive was never opened: there is nothing to back up yet.');
  }
  return studio.archiveId;
}

async function appliedMigrations(rows: RowReader): Promise<string[]> {
  const found = await rows.query<{ name: string }>(
    `SELECT migration_name AS name FROM _prisma_migrations
     WHERE finished_at IS NOT NULL AND rolled_back_at IS NULL ORDER BY started_at, migration_name`,
  );
  return found.map(({ name }) => name);
}

/** Jobs that were asked for and are not done; a restored archive takes them up. */
async function openJobs(rows: RowReader): Promise<SealedIndex['jobs']> {
  const [queue] = await rows.query<{ found: string | null }>(
    `SELECT to_regclass('pgboss.job')::text AS found`,
  );
  if (queue?.found == null) return [];
  return rows.query(
    `SELECT name, id::text, data FROM pgboss.job
     WHERE state IN ('created', 'retry', 'active') AND data ? 'jobId' ORDER BY created_on, id`,
  );
}
