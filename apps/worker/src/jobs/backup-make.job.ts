import {
  type Archive,
  BackupFault,
  backUpArchive,
  lastBackupAt,
  nameOfPlace,
  noteTrouble,
  openBackupPlace,
} from '#libs/archive';
import { RowCopies } from '#libs/db';
import { ObjectStoreError } from '#libs/objects';
import { Problem } from '#libs/problem';
import type { JobRun, WorkerJob, WorkerPorts } from '../worker-job.js';

/**
 * The backup that is made by itself, when the last one in its place is old enough. It needs no
 * passphrase: what is sealed is sealed to public keys. One cut short is taken up by the next run, one
 * that cannot be made is told on the start page and by the doctor until one can.
 */
export const backupMake: WorkerJob = {
  queue: 'backup.make',
  async run(_data, ports, run) {
    const { plan } = ports.backups;
    if (plan === undefined) {
      throw new Problem('backup-place-unset', 'Name a place with MULLION_BACKUP_TO.');
    }
    try {
      return await makeWhenDue(ports, plan, run);
    } catch (error) {
      if (run.signal.aborted) throw error;
      const says = sentenceOf(error);
      await tellKeeper(ports.archive, nameOfPlace(plan.to), says);
      throw new Problem('backup-refused', says, {}, { cause: error });
    }
  },
};

async function makeWhenDue(
  { archive, objects, backups }: WorkerPorts,
  plan: NonNullable<WorkerPorts['backups']['plan']>,
  run: JobRun,
): Promise<Record<string, unknown>> {
  const { homePath, keyFile, databaseUrl, objectsLocator, isDemo, pool } = backups;
  const last = await lastBackupAt(archive.reads, nameOfPlace(plan.to));
  if (last !== undefined && Date.now() - last.getTime() < plan.everyMs) return { made: false };
  const place = await openBackupPlace(plan.to, plan.s3, { homePath, objects: objectsLocator });
  const done = await backUpArchive(
    {
      pool,
      objects,
      signer: await archive.signerInForce(),
      homePath,
      keyFile,
      isDemo,
      moment: () => RowCopies.ofMoment(databaseUrl),
    },
    place,
    {
      onProgress: (at) => {
        if (at.step === 'objects') run.progress('copying', at.done / Math.max(1, at.of));
      },
    },
  );
  return {
    made: true,
    generation: done.manifest.generation,
    copied: done.copiedObjects,
    copiedBytes: done.copiedBytes,
    absent: done.absent.length,
  };
}

function sentenceOf(error: unknown): string {
  if (error instanceof BackupFault || error instanceof ObjectStoreError) {
    const { message } = error;
    return `${message.charAt(0).toUpperCase()}${message.slice(1)}`;
  }
  console.error('the backup failed:', error);
  return 'The reason stands in the worker’s messages.';
}

/** Best effort: where the database itself is away nothing can be noted, and everything else tells. */
async function tellKeeper(archive: Archive, place: string, says: string): Promise<void> {
  try {
    await noteTrouble(archive.reads, place, says, new Date());
  } catch (error) {
    console.error('a failed backup could not be noted:', error);
  }
}
