import { BackupFault, backUpArchive, lastBackupAt, openBackupPlace } from '#libs/archive';
import { RowCopies } from '#libs/db';
import { Problem } from '#libs/problem';
import type { WorkerJob } from '../worker-job.js';

/**
 * The backup that is made by itself, when the last one in its place is old enough. It needs no
 * passphrase: what is sealed is sealed to public keys. One cut short is taken up by the next run.
 */
export const backupMake: WorkerJob = {
  queue: 'backup.make',
  async run(_data, { archive, objects, backups }, run) {
    const { plan, homePath, keyFile, databaseUrl, objectsLocator, isDemo, pool } = backups;
    if (plan === undefined) {
      throw new Problem('backup-place-unset', 'Name a place with MULLION_BACKUP_TO.');
    }
    try {
      const place = await openBackupPlace(plan.to, plan.s3, { homePath, objects: objectsLocator });
      const last = await lastBackupAt(archive.reads, place.name);
      if (last !== undefined && Date.now() - last.getTime() < plan.everyMs) return { made: false };
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
        absent: done.absent.length,
      };
    } catch (error) {
      if (!(error instanceof BackupFault)) throw error;
      throw new Problem('backup-refused', error.message, {}, { cause: error });
    }
  },
};
