/** A whole run: one at a time for an archive, into a place that holds nobody else's backups. */
import type { ObjectStore } from '#libs/objects';
import { sealingKeyOf } from '../keys/announcement.js';
import { PROGRAM_VERSION } from '../program-version.js';
import type { ArchiveSigner } from '../signer.js';
import { type SqlPool, Tx } from '../tx.js';
import { keptRecipients, noteBackup, wasSecondDisk } from './backup-state.js';
import type { RowReader } from './backup-tables.js';
import { learnOfDrills } from './drill.js';
import { type BackupOptions, type BackupReport, makeBackup } from './make-backup.js';
import { BackupFault, type Manifest } from './manifest.js';
import type { NamedPlace } from './place-of-backup.js';
import { privateFiles } from './private-files.js';
import { KEEP_RULE, type KeepRule, pruneBackup } from './prune-backup.js';
import { type Recipient, sheetRecipientOf } from './recipients.js';

/** Advisory lock of PostgreSQL: any number that nothing else of the program uses. */
const BACKUP_LOCK = 72_707_370;

export interface ArchiveToBackUp {
  readonly pool: SqlPool;
  readonly objects: ObjectStore;
  readonly signer: ArchiveSigner;
  readonly homePath: string;
  readonly keyFile: string;
  readonly isDemo: boolean;
  /** RowCopies.ofMoment of the application's role */
  moment(): Promise<RowReader & { close(): Promise<void> }>;
}

export interface BackupRun extends BackupReport {
  readonly forgotten: { readonly generations: number; readonly objects: number };
}

/** @throws BackupFault when another run is under way, or the place is another archive's */
export async function backUpArchive(
  archive: ArchiveToBackUp,
  { place, name, isSecondDisk }: NamedPlace,
  {
    keep = KEEP_RULE,
    now,
    onProgress,
  }: Pick<BackupOptions, 'now' | 'onProgress'> & { keep?: KeepRule } = {},
): Promise<BackupRun> {
  const reads = new Tx(archive.pool);
  const moment = await archive.moment();
  try {
    await takeTurn(moment);
    await refuseOtherDisk(reads, name, isSecondDisk);
    const report = await makeBackup(
      {
        rows: moment,
        reads,
        objects: archive.objects,
        signer: archive.signer,
        files: await privateFiles(archive.homePath, archive.keyFile),
        isDemo: archive.isDemo,
        program: PROGRAM_VERSION,
      },
      place,
      {
        recipients: await recipientsOf(reads),
        refuse: (archiveId) => refuseForeign(place, archiveId, name),
        ...(now === undefined ? {} : { now }),
        ...(onProgress === undefined ? {} : { onProgress }),
      },
    );
    await noteBackup(reads, report, { place: name, isSecondDisk });
    await learnOfDrills(reads, place, name);
    return { ...report, forgotten: await pruneBackup(place, keep) };
  } finally {
    await moment.close();
  }
}

async function recipientsOf(tx: Tx): Promise<Recipient[]> {
  const kept = await keptRecipients(tx);
  const sheetKey = await sealingKeyOf(tx);
  return sheetKey === undefined ? kept : [...kept, sheetRecipientOf(sheetKey)];
}

async function takeTurn(moment: RowReader): Promise<void> {
  const [turn] = await moment.query<{ taken: boolean }>(
    'SELECT pg_try_advisory_lock($1) AS taken',
    [BACKUP_LOCK],
  );
  if (turn?.taken === true) return;
  throw new BackupFault('Another backup of this archive is under way. Wait until it is done.');
}

/** A disk that is not mounted leaves an empty folder behind: a backup there would fill the archive's own. */
async function refuseOtherDisk(tx: Tx, name: string, isSecondDisk: boolean): Promise<void> {
  if (isSecondDisk || (await wasSecondDisk(tx, name)) !== true) return;
  throw new BackupFault(
    `${name} is not the disk that holds the earlier backups: is it mounted? To keep backups on the archive's own disk name another folder.`,
  );
}

async function refuseForeign(
  place: NamedPlace['place'],
  archiveId: Manifest['archiveId'],
  name: string,
): Promise<void> {
  const [newest] = await place.generations();
  if (newest === undefined) return;
  const manifest = await place.manifest(newest);
  if (manifest.archiveId === archiveId) return;
  throw new BackupFault(
    `${name} holds backups of another archive (${manifest.archiveId}). Name a place of its own for each.`,
  );
}
